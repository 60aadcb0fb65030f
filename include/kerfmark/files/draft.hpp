#pragma once

#include <string>
#include <string_view>

/// Files that are written: whole or not at all, and never somewhere else than was asked for.
/// Everything throws Trouble.
namespace kerfmark::files {

/// Where an output goes: its folder, held open, and its name there. Links on the way are followed
/// where they are this user's own or the system's; those of others may lead anywhere and are
/// refused, and so is a path that cannot be looked at.
class Place {
 public:
  explicit Place(const std::string& path);
  Place(Place&& other) noexcept;
  Place& operator=(Place&&) = delete;
  ~Place();

  [[nodiscard]] int folder() const { return folder_; }
  [[nodiscard]] const std::string& name() const { return name_; }
  [[nodiscard]] const std::string& path() const { return path_; }  ///< as it was typed

 private:
  std::string path_;
  std::string name_;
  int folder_ = -1;
};

/// A file that gets its name when it is whole. Until then it has none, where the system knows such
/// files; else one of its own beside its place, which goes when the draft goes, also by a signal.
/// What a killed program has left of such names goes with the next draft of the same file.
class Draft {
 public:
  enum class Name { none, own };  ///< own: for a library that opens a file by its name

  explicit Draft(const std::string& path, Name name = Name::none);
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;
  ~Draft();

  /// The path of a draft with a name of its own.
  [[nodiscard]] std::string own_path() const;

  void append(std::string_view bytes);
  void put(std::size_t place, std::string_view bytes);  ///< over bytes that are there
  void flush();           ///< to the disk, so that only a name is wanting; appends nothing after it
  void replace_target();  ///< over what was there
  /// Only where there is nothing; gives false where there is something meanwhile.
  [[nodiscard]] bool become_target();

 private:
  [[noreturn]] void fail(int error) const;
  void open_with_name();
  bool link_as(const std::string& name) const;
  void give_name();
  bool move_to_free_target();
  void forget_name();

  Place place_;
  std::string own_name_;  ///< empty: none
  int descriptor_ = -1;
  int guard_ = -1;
};

/// Bytes to an open file, all of them; false, with errno, when that fails.
[[nodiscard]] bool write_all(int descriptor, std::string_view bytes);

}  // namespace kerfmark::files
