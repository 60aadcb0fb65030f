#include "record_queue.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <set>
#include <system_error>

#include "commands.hpp"
#include "kerfmark/cli/files.hpp"
#include "kerfmark/register/queue.hpp"
#include "kerfmark/text/printable.hpp"
#include "kerfmark/trouble.hpp"
#include "own_folder.hpp"
#include "record_text.hpp"
#include "terminal.hpp"

namespace kerfmark::cli {
namespace {

namespace fs = std::filesystem;
using records::Queue;
using records::Waiting;

constexpr const char* file_name = "queue.db";

// Nothing where nothing was ever queued, as where a user has no folder for it; Trouble where that
// cannot be told.
std::optional<Queue> existing_queue() {
  fs::path path;
  try {
    path = own_folder(false) / file_name;
  } catch (const Trouble&) {
    return std::nullopt;
  }
  std::error_code error;
  const bool is_there = fs::exists(path, error);
  if (error) {
    throw Trouble("look for", path.string(), error.message());
  }
  return is_there ? std::optional<Queue>(Queue(path.string())) : std::nullopt;
}

std::string named(const Waiting& one) { return "queued " + std::to_string(one.number); }

void send(records::Register& book, Queue& queue, const Waiting& one) {
  try {
    const records::RecordIdentity identity = book.add(one.entry).identity;
    if (queue.remove(one.number)) {
      say("kerfmark: what was " + named(one) + " is now record " + std::to_string(identity.number) +
          ", hash " + identity.hash + "\n");
    }
  } catch (const records::Unreachable&) {
    throw;
  } catch (const Trouble& trouble) {
    queue.note_refusal(one.number, trouble.reason);
    say("kerfmark: caution: " + named(one) + " is not taken, and stays queued: cannot " +
        text::harmless(trouble.doing + " " + trouble.path + ": " + trouble.reason) + "\n");
  }
}

std::string told(const Waiting& one) {
  records::Record record;
  record.identity.number = one.number;
  record.summary = one.entry.summary;
  record.personal_data = one.entry.personal_data;
  return list_text({&record, 1}, view_of_output(false)) + "   for " + text::harmless(one.server) +
         "\n" + (one.refused.empty() ? "" : "   not taken: " + text::harmless(one.refused) + "\n");
}

// One word on each server, and what waits for it.
void send_all(Queue& queue) {
  std::set<std::string> servers;
  for (const Waiting& one : queue.waiting()) {
    servers.insert(one.server);
  }
  for (const std::string& server : servers) {
    try {
      records::Register book = records::Register::open(server);
      say_cautions(server, book.cautions());
      for (const Waiting& one : queue.waiting()) {
        if (one.server == server) {
          send(book, queue, one);
        }
      }
    } catch (const Trouble& trouble) {
      say("kerfmark: caution: " + text::harmless(trouble.what()) + "\n");
    }
  }
}

ExitStatus drop(Queue& queue, const std::string& word) {
  const std::vector<Waiting> all = queue.waiting();
  const auto one = std::ranges::find_if(
      all, [&](const Waiting& waiting) { return std::to_string(waiting.number) == word; });
  if (one == all.end()) {
    return usage("--drop: nothing is queued as \"" + word + "\"; kerfmark record queue lists it");
  }
  const std::string text = told(*one);
  print(queue.remove(one->number) ? "Dropped, and stored nowhere:\n" + text
                                  : "It is gone already: another program has sent it.\n");
  return ExitStatus::yes;
}

}  // namespace

void send_waiting(records::Register& book, const std::string& name) {
  if (!records::is_on_server(name)) {
    return;
  }
  std::optional<Queue> queue;
  try {
    queue = existing_queue();
  } catch (const Trouble& trouble) {  // which is no reason not to do what is asked for
    say("kerfmark: caution: what may be queued here is not sent: " +
        text::harmless(trouble.what()) + "\n");
  }
  if (!queue) {
    return;
  }
  std::size_t refused = 0;
  for (const Waiting& one : queue->waiting()) {
    if (one.server != name) {
      continue;
    }
    if (!one.refused.empty()) {
      ++refused;
      continue;
    }
    try {
      send(book, *queue, one);
    } catch (const records::Unreachable&) {
      return;  // what is asked for now will say so, if it needs what was lost
    }
  }
  if (refused > 0) {
    say("kerfmark: caution: " + std::to_string(refused) +
        " queued here are not taken by the server: kerfmark record queue says why\n");
  }
}

void put_in_queue(const std::string& name, const records::Entry& entry) {
  Queue((own_folder(true) / file_name).string()).put(name, entry);
}

ExitStatus record_queue(const RecordRequest& request) {
  auto queue = existing_queue();
  if (!queue) {
    print("Nothing is queued.\n");
    return ExitStatus::yes;
  }
  if (!request.drop.empty()) {
    return drop(*queue, request.drop);
  }
  send_all(*queue);
  std::string waiting;
  for (const Waiting& one : queue->waiting()) {
    waiting += told(one);
  }
  print(waiting.empty() ? "Nothing is queued.\n" : waiting);
  return waiting.empty() ? ExitStatus::yes : ExitStatus::no;
}

}  // namespace kerfmark::cli
