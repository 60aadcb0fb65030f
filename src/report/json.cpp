#include "kerfmark/report/json.hpp"

#include <cmath>

#include "json_line.hpp"
#include "json_parts.hpp"
#include "kerfmark/plan/keys.hpp"
#include "kerfmark/plan/kind_of_part.hpp"
#include "kerfmark/report/digest.hpp"
#include "kerfmark/report/insertion.hpp"
#include "kerfmark/report/wording.hpp"
#include "kind_reports.hpp"

namespace kerfmark::report {
namespace {

using plan::Job;
using plan::JudgedLimit;
using plan::Judgement;
using plan::Plan;

constexpr int schema = 1;

std::optional<std::string_view> text_or_null(std::string_view text) {
  return text.empty() ? std::nullopt : std::optional(text);
}

void put_texts(JsonLine& out, const std::vector<std::string>& texts) {
  out.list([&] {
    for (const std::string& text : texts) {
      out.put(text);
    }
  });
}

void put_cut(JsonLine& out, const Plan& plan, std::string_view end) {
  out.object([&] {
    out.field("at_mm", plan.before.at);
    out.field("planned_mm", plan.planned);
    out.field("wanted_mm", plan.before.wanted);
    out.name("window_mm");
    put(out,
        plan.window ? std::optional(plan::Span{plan.window->lo, plan.window->hi}) : std::nullopt);
    out.field("kerf_mm", plan.kerf);
    out.field("remaining_mm", plan.before.remaining);
    out.field("end", end);
  });
}

void put_doubt(JsonLine& out, const JudgedLimit& limit, const Job& job) {
  out.list([&] {
    for (const measure::Share& part : limit.doubt) {
      const measure::Reading& reading = job.readings[part.reading];
      out.object([&] {
        out.field("reading", reading.key);
        out.field("within", reading.half_width_base);
        out.field("share", part.of_variance);
      });
    }
  });
}

void put_limit(JsonLine& out, const JudgedLimit& limit, const Job& job, std::string_view what) {
  const plan::RuleRow& row = limit.row();
  out.object([&] {
    out.field("id", limit.id());
    out.field("what", what);
    out.field("origin", word(row.origin));
    out.field("source", text_or_null(row.source));
    if (row.slope == std::round(row.slope)) {
      out.field("sense", static_cast<int>(row.slope));
    } else {
      out.field("sense", row.slope);
    }
    out.field("bound", row.bound == plan::Bound::at_least ? "at_least" : "at_most");
    out.field("needs", limit.needs);
    out.field("has", limit.has);
    out.field("unit", unit_of(limit));
    out.field("margin", limit.at.margin);
    out.field("guard", limit.at.guard);
    out.field("status", word(limit.at.status));
    out.field("odds", limit.at.odds);
    out.field("governs", limit.governs);
    out.name("doubt");
    put_doubt(out, limit, job);
  });
}

void put_limits(JsonLine& out, const Telling& telling) {
  out.list([&] {
    for (const JudgedLimit& limit : telling.now.limits) {
      put_limit(out, limit, telling.job, requirement(limit, telling));
    }
  });
}

void put_holds(JsonLine& out, const Telling& telling) {
  out.list([&] {
    for (const plan::Hold& hold : telling.now.holds) {
      for (const plan::Remedy& remedy : hold.remedies) {
        out.object([&] {
          out.field("why", why(hold, telling));
          out.field("do", what_to_do(remedy, telling));
        });
      }
    }
  });
}

void put_conflict(JsonLine& out, const Judgement& now) {
  if (!now.conflict) {
    out.put(std::nullopt);
    return;
  }
  out.object([&] {
    out.field("lower", now.limits[now.conflict->lower].id());
    out.field("upper", now.limits[now.conflict->upper].id());
    out.field("short_mm", now.conflict->short_by);
  });
}

void put_cautions(JsonLine& out, const Telling& telling, const JobFile& file) {
  const auto& [job, plan, now, words] = telling;
  out.list([&] {
    for (const plan::Caution one : plan.cautions) {
      out.put(caution(one, telling.before()));
    }
    for (const std::string& one : file.cautions) {
      out.put(one);
    }
  });
}

void put_after(JsonLine& out, const Telling& telling) {
  if (!telling.now.is_after()) {
    out.put(std::nullopt);
    return;
  }
  const Judgement& after = telling.now;
  const auto& closure = after.made->closure;
  out.object([&] {
    out.field("verdict", word(after.verdict));
    out.field("remaining_mm", after.remaining);
    out.field("cut_mm", after.made->cut);
    out.field("closure_mm", closure ? std::optional(closure->off) : std::nullopt);
    out.field("closure_guard_mm", closure ? std::optional(closure->guard_mm) : std::nullopt);
    out.name("limits");
    put_limits(out, telling);
    out.name("holds");
    put_holds(out, telling);
    out.name("remedies");
    out.list([&] {
      for (const plan::Remedy& remedy : after.remedies) {
        out.put(what_to_do(remedy, telling));
      }
    });
    report_of(telling.job.kind).json_after(out, after);
  });
}

void put_trial(JsonLine& out, const JudgedLimit& limit, const plan::LimitTrials& trials) {
  out.object([&] {
    out.field("id", limit.id());
    out.field("unit", unit_of(limit));
    out.field("low", trials.margin.interval.low);
    out.field("high", trials.margin.interval.high);
    out.field("mean", trials.margin.mean);
    out.field("sd", trials.margin.standard_deviation);
    out.field("holds", trials.holds);
    out.field("beyond_guard", trials.beyond_guard);
    out.name("first_order");
    out.list([&] {
      out.put(trials.first_order.low);
      out.put(trials.first_order.high);
    });
    out.field("tolerance", trials.tolerance);
    out.field("validates", trials.validates);
  });
}

void put_trials(JsonLine& out, const Plan& plan, const plan::Trials* trials) {
  if (trials == nullptr) {
    out.put(std::nullopt);
    return;
  }
  out.object([&] {
    out.field("n", trials->count);
    out.field("seed", trials->seed);
    out.field("at_mm", trials->at);
    out.field("impossible", trials->impossible);
    out.name("limits");
    out.list([&] {
      for (std::size_t i = 0; i < trials->limits.size(); ++i) {
        put_trial(out, plan.before.limits[i], trials->limits[i]);
      }
    });
  });
}

void add_head(JsonLine& out, const Job& job, const Plan& plan, const JobFile& file) {
  out.field("schema", schema);
  if (!file.name.empty()) {
    out.field("file", file.name);
  }
  out.field("kind", plan::word(job.kind));
  out.field("number", text_or_null(job.paperwork.number));
  out.field("bike", text_or_null(job.paperwork.bike));
  out.field("digest", digest_of(job));
  out.field("verdict", word(plan.before.verdict));
}

void add_findings(JsonLine& out, std::span<const text::FindingLine> findings) {
  out.name("findings");
  out.list([&] {
    for (const text::FindingLine& finding : findings) {
      out.object([&] {
        out.field("line", finding.line);
        out.field("column", finding.column);
        out.field("key", finding.key);
        out.field("message", finding.message);
      });
    }
  });
}

}  // namespace

std::string json_line(const Telling& telling, const JobFile& file, const plan::Trials* trials) {
  const auto& [job, plan, now, words] = telling;
  const Telling before = telling.before();
  JsonLine out;
  out.object([&] {
    add_head(out, job, plan, file);
    out.name("cut");
    put_cut(out, plan, plan::kind_of_part(job.kind).end);
    out.name("limits");
    put_limits(out, before);
    out.name("holds");
    put_holds(out, before);
    out.name("conflict");
    put_conflict(out, plan.before);
    out.name("cautions");
    put_cautions(out, telling, file);
    report_of(job.kind).json(out, plan.before);
    out.name("after");
    put_after(out, telling);
    out.name("trials");
    put_trials(out, plan, trials);
    if (!job.from_shop.empty()) {
      out.name("from_shop");
      put_texts(out, job.from_shop);
    }
  });
  return out.take();
}

std::string json_line(const plan::InsertionCheck& check, const text::Words& words) {
  Job job;  // limits name their readings by its rows
  job.readings = check.readings;
  const InsertionStatement says = insertion_statement(check, words);
  std::optional<double> lower_mm;
  if (plan::has_target(check) && !plan::is_yes(check.verdict) && check.spare.in_mm() < 0) {
    lower_mm = -check.spare.in_mm();
  }
  const auto& line = check.post.line;
  JsonLine out;
  out.object([&] {
    out.field("schema", schema);
    out.field("kind", "insertion");
    out.field("verdict", word(check.verdict));
    out.field("line",
              text_or_null(line ? plan::line_words()[static_cast<std::size_t>(*line)] : ""));
    out.field("with", check.post.instrument);
    out.field("inserted_mm", check.inserted);
    out.field("within_mm", check.inserted ? std::optional(check.within_mm) : std::nullopt);
    out.field("lower_by_mm", lower_mm);
    out.name("limits");
    out.list([&] {
      for (std::size_t i = 0; i < check.limits.size(); ++i) {
        put_limit(out, check.limits[i], job, says.limits[i].what);
      }
    });
    out.name("cautions");
    put_texts(out, says.cautions);
  });
  return out.take();
}

std::string json_line(std::string_view file, std::span<const text::FindingLine> findings,
                      std::size_t left_out) {
  JsonLine out;
  out.object([&] {
    out.field("schema", schema);
    out.field("file", file);
    add_findings(out, findings);
    if (left_out > 0) {
      out.field("findings_left_out", left_out);
    }
  });
  return out.take();
}

}  // namespace kerfmark::report
