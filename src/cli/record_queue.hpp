#pragma once

#include <string>

#include "kerfmark/cli/run.hpp"
#include "kerfmark/register/register.hpp"
#include "record.hpp"

/// Records that wait on this machine for a server that did not answer.
namespace kerfmark::cli {

/// Sends what waits for this register, in its order, and says so on standard error; what was
/// refused once waits for `record queue`.
void send_waiting(records::Register& book, const std::string& name);

void put_in_queue(const std::string& name, const records::Entry& entry);

}  // namespace kerfmark::cli
