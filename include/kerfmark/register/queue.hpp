#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "kerfmark/register/register.hpp"

/// Records for a server that did not answer: they wait in a file of this machine until it does.
namespace kerfmark::records {

struct Waiting {
  std::int64_t number = 0;  ///< in the queue, and not in the register
  std::string server;       ///< the name of its register
  Entry entry;              ///< with the key that it has for good
  std::string refused;      ///< why the server did not take it; empty: it was not asked yet
};

class Database;

class Queue {
 public:
  /// Of a folder that is there. Throws Trouble, as all of these do, where it is no queue.
  explicit Queue(const std::string& path);
  Queue(Queue&&) noexcept;
  Queue& operator=(Queue&&) noexcept;
  ~Queue();

  /// On disk when it returns.
  void put(const std::string& server, const Entry& entry);
  [[nodiscard]] std::vector<Waiting> waiting();  ///< in the order in which they were put
  /// So that nothing of it is left in the file. False: another program has done it.
  bool remove(std::int64_t number);
  void note_refusal(std::int64_t number, const std::string& why);

 private:
  std::unique_ptr<Database> database_;
};

}  // namespace kerfmark::records
