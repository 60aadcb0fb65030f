#include <algorithm>
#include <cctype>
#include <optional>

#include "kerfmark/manual/manual.hpp"
#include "kerfmark/text/printable.hpp"

/// What our pages use of the language of scdoc, as lines for a terminal.
namespace kerfmark::manual {
namespace {

constexpr std::string_view bold = "\x1b[1m";
constexpr std::string_view plain = "\x1b[0m";
constexpr std::string_view fence = "```";
constexpr std::size_t narrowest = 40;  // cells, common practice
constexpr std::size_t margin = 2;      // of text below its heading
constexpr std::size_t step = 4;        // of a text below its term, and of a block

/// A word with its rendition, and how much of the line it takes.
struct Word {
  std::string shown;
  std::size_t cells = 0;
};

// scdoc leaves an underscore between letters alone.
bool opens_or_closes(char mark, char before, bool open) {
  return mark == '*' || open || std::isalnum(static_cast<unsigned char>(before)) == 0;
}

class Words {
 public:
  explicit Words(bool colour) : colour_(colour) {}

  std::vector<Word> of(std::string_view text) {
    char before = ' ';
    for (std::size_t i = 0; i < text.size(); ++i) {
      const char c = text[i];
      if (c == ' ') {
        finish();
      } else if (c == '\\' && i + 1 < text.size()) {
        add(text[++i]);
      } else if (c == '*') {
        turn();
      } else if (c == '_' && opens_or_closes(c, before, underlined_)) {
        underlined_ = !underlined_;
      } else {
        add(c);
      }
      before = c;
    }
    finish();
    return std::move(words_);
  }

 private:
  void add(char c) {
    if (word_.empty() && bold_) {
      rendition(bold);
    }
    word_ += c;
    pure_ += c;
  }
  void turn() {
    bold_ = !bold_;
    if (!word_.empty()) {
      rendition(bold_ ? bold : plain);
    }
  }
  void rendition(std::string_view mark) { word_ += colour_ ? mark : std::string_view{}; }
  void finish() {
    if (pure_.empty()) {
      return;
    }
    if (bold_) {
      rendition(plain);
    }
    words_.push_back({std::move(word_), text::cells(pure_)});
    word_.clear();
    pure_.clear();
  }

  bool colour_;
  bool bold_ = false;
  bool underlined_ = false;
  std::string word_, pure_;
  std::vector<Word> words_;
};

class Lines {
 public:
  explicit Lines(const report::View& view)
      : width_(std::max(view.width, narrowest)), colour_(view.colour) {}

  void take(std::string_view line) {
    if (in_block_ || line.starts_with(fence)) {
      block(line);
    } else if (line.empty()) {
      end_paragraph();
      gap_ = true;
    } else if (line.starts_with("# ")) {
      heading(line.substr(2), 0);
    } else if (line.starts_with("## ")) {
      heading(line.substr(3), 1);
    } else {
      text(line);
    }
  }

  std::string finished() {
    end_paragraph();
    return std::move(out_);
  }

 private:
  void open_gap() {
    out_ += gap_ && !out_.empty() ? "\n" : "";
    gap_ = false;
  }

  void heading(std::string_view title, std::size_t indent) {
    end_paragraph();
    open_gap();
    out_ += std::string(indent, ' ') + (colour_ ? std::string(bold) : "") + std::string(title) +
            (colour_ ? std::string(plain) : "") + "\n";
    after_heading_ = true;
  }

  void block(std::string_view line) {
    end_paragraph();
    if (line.starts_with(fence)) {
      in_block_ = !in_block_;
      gap_ = true;
      return;
    }
    open_gap();
    std::string shown(line);
    for (std::size_t at = 0; (at = shown.find("\\\\", at)) != std::string::npos; ++at) {
      shown.erase(at, 1);
    }
    out_ += (line.empty() ? "" : std::string(margin + step, ' ') + shown) + "\n";
    gap_ = false;
    after_heading_ = false;
  }

  void text(std::string_view line) {
    const std::size_t tabs = std::min(line.find_first_not_of('\t'), line.size());
    std::string_view words = line.substr(tabs);
    const bool item = words.starts_with("- ");
    const std::size_t indent = margin + tabs * step;
    if (item || paragraph_.empty() || indent != indent_) {
      end_paragraph();
      item_ = item;
      indent_ = indent;
    }
    if (item) {
      words.remove_prefix(2);
    }
    words.remove_prefix(std::min(words.find_first_not_of(' '), words.size()));
    paragraph_ += (paragraph_.empty() ? "" : " ") + std::string(words);
  }

  void end_paragraph() {
    if (paragraph_.empty()) {
      return;
    }
    if (after_heading_) {
      gap_ = false;
    }
    after_heading_ = false;
    open_gap();
    const std::size_t hanging = indent_ + (item_ ? 2 : 0);
    std::string line = std::string(indent_, ' ') + (item_ ? "- " : "");
    std::size_t column = hanging;
    bool begins = true;
    for (const Word& word : Words(colour_).of(paragraph_)) {
      if (!begins && column + 1 + word.cells > width_) {
        out_ += line + "\n";
        line = std::string(hanging, ' ');
        column = hanging;
        begins = true;
      }
      line += (begins ? "" : " ") + word.shown;
      column += (begins ? 0 : 1) + word.cells;
      begins = false;
    }
    out_ += line + "\n";
    paragraph_.clear();
  }

  std::size_t width_;
  bool colour_;
  std::string out_, paragraph_;
  std::size_t indent_ = margin;
  bool item_ = false;
  bool in_block_ = false;
  bool gap_ = false;            ///< an empty line comes before what is next
  bool after_heading_ = false;  ///< and none there
};

}  // namespace

std::string on_terminal(const Page& page, std::span<const Command> commands,
                        const report::View& view) {
  const std::string source = source_of(page, commands);
  std::string_view rest = std::string_view(source).substr(source.find('\n') + 2);
  Lines lines(view);
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    lines.take(rest.substr(0, end));
    rest.remove_prefix(end + 1);
  }
  const std::string out = lines.finished();
  return view.utf8 ? out : text::in_ascii(out);
}

}  // namespace kerfmark::manual
