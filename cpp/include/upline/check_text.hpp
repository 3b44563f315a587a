#pragma once
/// @file
/// @brief A check for reading: the verdict as sentences, then what it rests on.

#include <upline/check.hpp>
#include <upline/checking/phrases.hpp>
#include <upline/detail/columns.hpp>
#include <upline/text.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The columns of a followed table, by name.
inline constexpr std::array<std::string_view, 8> check_columns{
    "depth", "arrive", "leave at", "breathe", "margin", "held by", "then", "add"};
/// @brief One line of a followed table: a cell for each of check_columns.
using CheckLine = std::array<std::string, check_columns.size()>;

namespace detail {

/// Writes one check in words.
class CheckText {
public:
  explicit CheckText(const Check& check)
      : c_(check), units_(governing().reading.units), pair_(check.rules.factors.text()) {}

  [[nodiscard]] std::string whole() const {
    std::string text = wrapped(verdict(), "", "") + "\nHow it was read\n" + readings();
    if (!c_.findings.empty()) text += "\nOdd in its numbers\n" + bullets(findings());
    text += "\n" + aligned(table(), check_stands_left) + "\n" + wrapped(repair(), "", "") +
            wrapped(pairs(), "", "") + "\nWhat carries it\n" + bullets(consequences());
    if (!c_.replay.cautions.empty()) text += "\nCautions\n" + cautions();
    return text + "\n" + wrapped("Assumptions: " + assumptions(), "", "") +
           wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  // ---- the verdict -----------------------------------------------------------------------

  [[nodiscard]] std::string verdict() const {
    const std::string against = pair_ + " (" + c_.rules.model + ")";
    const std::size_t count = readings_().size();
    if (!readings_().front().can_be_followed)
      return "Cannot tell. The table cannot be followed as written: some row leaves no time at its "
             "depth. Ask whoever cut it.";
    switch (c_.verdict.verdict) {
    case Verdict::satisfies:
      return "Satisfies " + against +
             (count == 1 ? " under the reading below."
                         : " under each of the " + std::to_string(count) + " readings below.") +
             " This is not a statement that it is safe.";
    case Verdict::does_not:
      return "Does not satisfy " + against + ": " + shortfall(governing()) +
             (count == 1 ? "."
                         : " under the strictest of " + std::to_string(count) +
                               " readings, and beyond the line under each.") +
             at_surface_alone();
    case Verdict::cannot_tell: return cannot_tell();
    }
    return "";
  }

  [[nodiscard]] std::string readings() const {
    std::string text;
    const std::string many = how_many();
    if (!many.empty()) text += wrapped(many, "  ", "    ");
    for (const ReadingVerdict& one : readings_())
      if (many.empty() || is_shown(one)) text += wrapped(reading(one), "  ", "    ");
    return text;
  }

  /// How many readings were tried and which are shown; empty where all are.
  [[nodiscard]] std::string how_many() const {
    constexpr std::size_t few = 6;
    if (readings_().size() <= few) return "";
    const auto count = std::count_if(readings_().begin(), readings_().end(),
                                     [](const ReadingVerdict& one) { return one.satisfies; });
    return std::to_string(readings_().size()) + " readings were tried, " + std::to_string(count) +
           " of them satisfy " + pair_ +
           ". Shown: the usual one, those that differ from it in one answer, and the strictest.";
  }

  // ---- what lies behind it ---------------------------------------------------------------

  [[nodiscard]] std::vector<CheckLine> table() const {
    std::vector<CheckLine> lines;
    CheckLine head;
    std::copy(check_columns.begin(), check_columns.end(), head.begin());
    lines.push_back(head);
    lines.push_back(
        {length_name(units_), "min", "min", "", "bar", "half-time", "half-time", "min"});
    for (const FollowedRow& row : c_.rows)
      lines.push_back(
          {trimmed(depth_in(row.depth, units_), 2), clock_text(in_minutes(row.arrives)),
           clock_text(in_minutes(row.departs)),
           row.gas == row.arrives_on ? row.gas.spoken() : "switch to " + row.gas.spoken(),
           fixed(row.controlling.value, 3), half_time(row.controlling.compartment),
           half_time(row.runner_up.compartment),
           row.added > Minutes() ? clock_text(in_minutes(row.added)) : ""});
    lines.push_back(
        {"0", clock_text(in_minutes(c_.replay.run_time)), "", "surface", "", "", "", ""});
    return lines;
  }

  [[nodiscard]] std::string repair() const {
    const Repair& r = c_.repair;
    if (!r.missing)
      return "No minutes added to its rows, nor stops put between them at the rungs of the ladder, "
             "make it satisfy " +
             pair_ + ".";
    if (!(*r.missing > Minutes())) return "No minutes are missing.";
    std::string text =
        span(*r.missing) + " are missing" +
        (r.minimal() ? " (no fewer suffice at these stops)"
                     : " at most (at these stops at least " + span(r.at_least) + ")") +
        ":";
    for (const NewStop& stop : r.new_stops)
      text += item(text) + "a new stop at " + depth_text(stop.depth, units_) + " of " +
              span(stop.minutes);
    for (std::size_t j = 0; j < r.added.size(); ++j)
      if (r.added[j] > 0.0)
        text += item(text) + span(minutes(r.added[j])) + " more at " +
                trimmed(c_.table.rows[j].depth, 2) + " " + length_name(units_);
    text += ".";
    if (r.at_last_stop)
      text += " At the last stop alone: " + span(*r.at_last_stop) + ".";
    else
      text += " At the last stop alone no addition suffices.";
    return text;
  }

  [[nodiscard]] std::string pairs() const {
    if (c_.pairs.empty()) return "It satisfies no pair of gradient factors up to 150/150.";
    const FactorPair& first = c_.pairs.front();
    const FactorPair& last = c_.pairs.back();
    return "Pairs it satisfies: from " + pair(first) + ", held at " +
           depth_text(first.depth, units_) + " (run time " + clock_text(in_minutes(first.at)) +
           "), to " + pair(last) + ", held at " + depth_text(last.depth, units_) + " (run time " +
           clock_text(in_minutes(last.at)) + ").";
  }

  [[nodiscard]] std::vector<std::string> findings() const {
    std::vector<std::string> lines;
    for (const Finding& finding : c_.findings)
      lines.push_back(FindingText(finding, c_.table, units_)());
    return lines;
  }

  /// The tightest ones.
  [[nodiscard]] std::vector<std::string> consequences() const {
    constexpr std::size_t most = 8;
    std::vector<std::string> lines;
    for (const Consequence& one : c_.consequences) {
      if (lines.size() == most) break;
      lines.push_back(mishap_text(one, c_.table, units_) + ": surfacing " +
                      fixed(one.surfacing_fraction, 3) + ", margin " + bar_text(one.margin) +
                      missing(one) + ".");
    }
    return lines;
  }

  [[nodiscard]] std::string assumptions() const {
    const Place& place = c_.replay.end.place;
    std::string text = c_.rules.model + ", " + pair_;
    text += c_.replay.anchor ? " anchored at " + depth_text(*c_.replay.anchor, units_)
                             : ", no anchor: the direct ascent touches no limit";
    text += "; " + trimmed(place.per_metre, 6) + " bar per metre, " + trimmed(place.surface, 5) +
            " bar at the surface; up";
    for (const RateZone& zone : c_.rules.ascent_rates)
      text += " " + trimmed(zone.rate.base() / length_unit(units_), 2);
    text += ", down " + trimmed(c_.rules.descent_rate.base() / length_unit(units_), 2) + " " +
            length_name(units_) + "/min; ";
    text += c_.table.start ? "residual load of earlier dives counted" : "no dive in the last 24 h";
    return text + "; margins on arrival at the next stop; vapour " + trimmed(place.vapour, 4) +
           " bar; upline " + c_.version;
  }

private:
  static constexpr std::array<bool, check_columns.size()> check_stands_left{
      false, false, false, true, false, false, false, false};

  [[nodiscard]] const std::vector<ReadingVerdict>& readings_() const { return c_.verdict.readings; }
  [[nodiscard]] const ReadingVerdict& governing() const {
    return readings_()[c_.verdict.governing];
  }
  [[nodiscard]] static std::string span(Minutes x) { return duration_text(in_minutes(x)); }
  [[nodiscard]] bool is_shown(const ReadingVerdict& one) const {
    const Reading& usual = readings_().front().reading;
    return one.reading == usual || one.reading == governing().reading ||
           std::any_of(questions.begin(), questions.end(), [&](Question question) {
             return differ_only_in(usual, one.reading, question);
           });
  }
  [[nodiscard]] std::string reading(const ReadingVerdict& one) const {
    std::string line;
    for (const Question question : questions)
      if (asked(question) || readings_().size() == 1)
        line += (line.empty() ? "" : "; ") + answer(one.reading, question);
    return line + (one.satisfies ? ": satisfies " : ": does not satisfy ") + pair_ +
           ", surfacing " + fixed(one.surfacing_fraction, 3) + ", margin " + bar_text(one.margin) +
           ", run time " + clock_text(in_minutes(one.run_time)) + ".";
  }
  [[nodiscard]] bool asked(Question question) const {
    return std::any_of(readings_().begin(), readings_().end(), [&](const ReadingVerdict& one) {
      return !alike(one.reading, readings_().front().reading, question);
    });
  }

  /// Why a reading does not satisfy: at the surface by its fraction, below it by pressure.
  [[nodiscard]] static std::string shortfall(const ReadingVerdict& one) {
    if (one.surfacing_margin <= one.margin) return "surfacing " + fixed(one.surfacing_fraction, 3);
    return bar_text(-one.margin) + " beyond the line at " +
           depth_text(one.tightest, one.reading.units);
  }

  /// Where the way up decides under each reading, the surface may still leave a question.
  [[nodiscard]] std::string at_surface_alone() const {
    const auto within = [](const ReadingVerdict& one) {
      return one.surfacing_margin >= -audit_tolerance;
    };
    const ReadingVerdict& usual = readings_().front();
    for (const Question question : questions)
      for (const ReadingVerdict& other : readings_()) {
        if (!differ_only_in(usual.reading, other.reading, question)) continue;
        if (within(usual) == within(other)) continue;
        const ReadingVerdict& bad = within(usual) ? other : usual;
        const ReadingVerdict& good = within(usual) ? usual : other;
        return " At the surface alone it depends on the reading: if " +
               answer(bad.reading, question) + ", it surfaces at " +
               fixed(bad.surfacing_fraction, 3) + "; if " + answer(good.reading, question) +
               ", at " + fixed(good.surfacing_fraction, 3) + " of " +
               trimmed(c_.rules.factors.high(), 4) + ".";
      }
    return "";
  }

  /// Each question that by itself turns the verdict of the usual reading.
  [[nodiscard]] std::string cannot_tell() const {
    std::string text = "Cannot tell.";
    const ReadingVerdict& usual = readings_().front();
    bool first = true;
    for (const Question question : questions)
      for (const ReadingVerdict& other : readings_()) {
        if (!differ_only_in(usual.reading, other.reading, question) ||
            usual.satisfies == other.satisfies)
          continue;
        const ReadingVerdict& bad = usual.satisfies ? other : usual;
        const ReadingVerdict& good = usual.satisfies ? usual : other;
        text += " If " + answer(bad.reading, question) + ", " +
                (first ? "the table does not satisfy " + pair_ : std::string("it does not")) +
                " (" + shortfall(bad) + "). If " + otherwise(good, question) + ", it does (" +
                fixed(good.surfacing_fraction, 3) + ").";
        first = false;
      }
    if (first) text += " No single question decides it: see the readings.";
    return text + " Ask whoever cut it.";
  }

  [[nodiscard]] static std::string otherwise(const ReadingVerdict& one, Question question) {
    if (question == Question::minutes && one.reading.minutes == MinutesMean::without_travel)
      return "they do not";
    return answer(one.reading, question);
  }

  [[nodiscard]] static std::string item(const std::string& text) {
    return text.back() == ':' ? " " : ", ";
  }
  [[nodiscard]] static std::string pair(const FactorPair& one) {
    const auto percent = [](double x) { return trimmed(std::ceil(x * 1000.0 - 1e-6) / 10.0, 1); };
    return percent(one.low) + "/" + percent(one.high);
  }
  [[nodiscard]] std::string half_time(std::size_t compartment) const {
    return trimmed(compartment_set(c_.rules.model).nitrogen.half_time[compartment], 1) + " min";
  }
  [[nodiscard]] static std::string missing(const Consequence& one) {
    if (!one.missing) return ", no addition to the other rows suffices";
    if (!(*one.missing > Minutes())) return ", nothing missing";
    return (one.minimal ? ", " : ", at most ") + clock_text(in_minutes(*one.missing)) +
           " min missing";
  }
  [[nodiscard]] static std::string bullets(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) text += wrapped(line, "  ", "    ");
    return text;
  }
  [[nodiscard]] std::string cautions() const {
    std::vector<std::string> lines;
    for (const Caution& caution : c_.replay.cautions)
      lines.push_back(std::string(severity_name(caution.severity)) + ": " +
                      caution_text(caution, units_));
    return bullets(lines);
  }

  const Check& c_;
  Units units_;
  std::string pair_;
};

} // namespace detail

/// @brief The verdict as sentences.
[[nodiscard]] inline std::string verdict_text(const Check& check) {
  return detail::CheckText(check).verdict();
}

/// @brief The cells of the followed table: names of the columns, units, a line for each row.
[[nodiscard]] inline std::vector<CheckLine> check_table(const Check& check) {
  return detail::CheckText(check).table();
}

/// @brief The check as text: verdict, readings, oddities, rows, repair, pairs, consequences.
[[nodiscard]] inline std::string text_of(const Check& check) {
  return detail::CheckText(check).whole();
}

/// @brief Writes text_of() of the check.
inline std::ostream& operator<<(std::ostream& out, const Check& check) {
  return out << text_of(check);
}

} // namespace upline
