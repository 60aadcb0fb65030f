#include <iostream>
#include <string>
#include <string_view>
#include <vector>

#include "kerfmark/trouble.hpp"
#include "server.hpp"
#include "server_schema.hpp"

/// later_program SERVER setup|broken|open: what a later kerfmark would do, whose registers have one
/// step more, by which a record gets a column. The broken one goes wrong at the end of that step.
int main(int argc, char** argv) {
  using namespace kerfmark::records;
  if (argc != 3) {
    std::cerr << "later_program SERVER setup|broken|open\n";
    return 2;
  }
  const std::string name = argv[1];
  const std::string_view action = argv[2];
  const std::string step = std::string(
                               "SET LOCAL ROLE kerfmark_owner;"
                               "ALTER TABLE kerfmark.record ADD COLUMN serial text;") +
                           (action == "broken" ? "SELECT no_such_function();" : "");
  std::vector<std::string_view> steps(schema_of_server().steps.begin(),
                                      schema_of_server().steps.end());
  steps.push_back(step);
  const std::string as_made =
      std::string(schema_of_server().as_made) + "column record.serial text\n";
  const ServerSchema later{steps, as_made};
  try {
    if (action == "open") {
      for (const std::string& fault : open_on_server(name, later)->faults_of_schema()) {
        std::cout << fault << "\n";
      }
    } else {
      std::cout << "version " << set_up_on_server(name, later).version << "\n";
    }
  } catch (const kerfmark::Trouble& trouble) {
    std::cerr << trouble.what() << "\n";
    return 2;
  }
  return 0;
}
