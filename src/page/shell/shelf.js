// Jobs kept on this device, only after somebody asked for it. Switching it off forgets them all.

const place = "kerfmark";

function read() {
  try { return JSON.parse(localStorage.getItem(place)); } catch { return null; }
}

// Whether it was kept: a browser may forbid it, or have no room.
function write(kept) {
  try { localStorage.setItem(place, JSON.stringify(kept)); return true; } catch { return false; }
}

export const shelf = {
  isOn: () => read() !== null,
  switchOn: () => write(read() ?? { jobs: {} }),
  switchOff() { try { localStorage.removeItem(place); } catch { /* nothing was kept */ } },
  jobs: () => Object.entries(read()?.jobs ?? {}).map(([id, job]) => ({ id, ...job })),
  keep(id, job) {
    const kept = read();
    if (kept === null) return true;
    kept.jobs = { ...kept.jobs, [id]: job };
    return write(kept);
  },
  forget(id) {
    const kept = read();
    if (kept === null) return;
    delete kept.jobs[id];
    write(kept);
  },
  // What stands on every sheet of a shop: its name, its paper.
  habits: () => read()?.habits ?? {},
  keepHabits(habits) { const kept = read(); if (kept !== null) write({ ...kept, habits }); },
};
