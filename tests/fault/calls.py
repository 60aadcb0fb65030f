"""Makes one system call of a run fail, or the program die at it, by strace."""

import collections
import re

# Calls on files; memory and signals are the business of others.
OF_FILES = ("openat", "open", "read", "write", "pread64", "pwrite64", "writev", "fsync", "fdatasync", "ftruncate", "fallocate", "rename",
            "renameat2", "link", "linkat", "unlink", "unlinkat", "newfstatat", "fstat", "lseek", "fcntl", "flock", "fchmod", "fchown", "close",
            "mkdir", "getdents64", "copy_file_range", "sendfile")
OF_SOCKETS = ("socket", "connect", "getsockname", "getsockopt", "setsockopt", "sendto", "recvfrom", "sendmsg", "recvmsg", "poll", "ppoll")
ERRORS = {"openat": "EACCES", "read": "EIO", "pread64": "EIO", "fcntl": "EIO", "flock": "EIO", "close": "EIO", "newfstatat": "EACCES",
          "socket": "EMFILE", "connect": "ECONNREFUSED", "getsockname": "ENOBUFS", "getsockopt": "ENOBUFS", "setsockopt": "ENOBUFS",
          "sendto": "ECONNRESET", "recvfrom": "ECONNRESET", "sendmsg": "ECONNRESET", "recvmsg": "ECONNRESET", "poll": "ENOMEM",
          "ppoll": "ENOMEM"}
OTHERS = "ENOSPC"
YES, HOLD, TROUBLE, KILLED = 0, 1, 2, (-9, 137)


class Fault(Exception):
    pass


def need(is_so, what):
    if not is_so:
        raise Fault(what)


def whole(path, known):
    """A file that is there is as it would have been without a fault."""
    if path.exists():
        need(path.read_bytes() == known, f"{path.name} is there and not whole")
    return path.exists()


def counting(names, log):
    """What to run it under, so that `counted` can tell the calls."""
    return ("strace", "-f", "-o", log, "-e", "trace=" + ",".join(f"?{name}" for name in names))


def in_order(log):
    return re.findall(r"^\d+ +(\w+)\(", log.read_text(errors="replace"), re.MULTILINE)


def counted(log):
    """How many of each."""
    return collections.Counter(in_order(log))


def failing(*faults):
    """What to run it under, so that these calls fail, each (call, when, fault): when is 3, or 3+ for that and all after it."""
    return ("strace", "-f", "-o", "/dev/null", *(word for call, when, fault in faults for word in ("-e", f"inject={call}:{fault}:when={when}")))


def fails(call):
    return f"error={ERRORS.get(call, OTHERS)}"


DIES = "signal=KILL"


def is_of_loader(status, said):
    """The loader has its own words and status for a library that it cannot read."""
    return status == 127 and "shared libraries" in said
