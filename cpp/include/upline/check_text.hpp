#pragma once
/// @file
/// @brief A check for reading: the verdict as sentences, then what it rests on.

#include <upline/check.hpp>
#include <upline/checking/phrases.hpp>
#include <upline/checking/verdict_text.hpp>
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
            wrapped(pairs(), "", "");
    if (!c_.consequences.empty()) text += "\nWhat carries it\n" + bullets(consequences());
    if (!c_.replay.cautions.empty()) text += "\nCautions\n" + cautions();
    return text + "\n" + wrapped("Assumptions: " + assumptions(), "", "") +
           wrapped(no_time_to_fly, "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

  [[nodiscard]] std::string verdict() const { return VerdictText(c_)(); }

  /// The reading with the least margin as a phrase: what readings answer alike is left out.
  [[nodiscard]] std::string governing_reading() const { return in_words(governing()); }

  [[nodiscard]] std::string readings() const {
    std::string text;
    if (c_.verdict.times_disagree())
      text += wrapped("Its minutes and its run times disagree by more than rounding in every "
                      "reading below.",
                      "  ", "    ");
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
    if (c_.unsettled()) return unsettled();
    return missing_minutes(c_.repair);
  }

  /// What is missing, with the number that is proposed where there is one.
  [[nodiscard]] std::string unsettled() const {
    std::string none = "No minutes are computed for it as it is written until that is "
                       "settled.";
    if (!c_.corrected || !c_.corrected->settled) return none;
    return none + " With " + corrected_number(*c_.corrected, c_.table, units_) + ": " +
           missing_minutes(c_.corrected->repair);
  }

  [[nodiscard]] std::string missing_minutes(const Repair& r) const {
    if (!r.missing)
      return "No minutes added to its rows, nor stops put between them at the rungs of the ladder, "
             "make it satisfy " +
             pair_ + ".";
    if (!(*r.missing > Minutes())) return "No minutes are missing.";
    std::string text =
        span(*r.missing) + (*r.missing == minutes(1.0) ? " is missing" : " are missing") +
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

  /// The answer at the low factor asked for, then the front up to 100.
  [[nodiscard]] std::string pairs() const {
    if (c_.unsettled()) return "";
    const std::string asked = "With low " + trimmed(c_.rules.factors.low() * 100.0, 2);
    std::string text = c_.at_low ? asked + " it needs high " + percent(c_.at_low->high) + "."
                                 : asked + " no high factor up to 100 suffices.";
    std::vector<FactorPair> front = c_.pairs;
    std::erase_if(front, [](const FactorPair& one) { return one.high > 1.0 || one.low > 1.0; });
    if (front.empty()) return text + " Pairs that it satisfies: none up to 100/100.";
    text += " Pairs that it satisfies: " + held(front.front());
    if (front.size() > 1)
      text = text.insert(text.rfind(": ") + 2, "from ") + ", to " + held(front.back());
    return text + ".";
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
  [[nodiscard]] std::string in_words(const ReadingVerdict& one) const {
    std::string line;
    for (const Question question : questions)
      if (asked(question) || readings_().size() == 1)
        line += (line.empty() ? "" : "; ") + answer_of(one, question);
    return line;
  }
  [[nodiscard]] std::string reading(const ReadingVerdict& one) const {
    return in_words(one) + (one.satisfies ? ": satisfies " : ": does not satisfy ") + pair_ +
           ", surfacing " + fixed(one.surfacing_fraction, 3) + ", margin " + bar_text(one.margin) +
           ", run time " + clock_text(in_minutes(one.run_time)) + ".";
  }
  [[nodiscard]] bool asked(Question question) const {
    return std::any_of(readings_().begin(), readings_().end(), [&](const ReadingVerdict& one) {
      return !alike(one.reading, readings_().front().reading, question);
    });
  }

  [[nodiscard]] static std::string item(const std::string& text) {
    return text.back() == ':' ? " " : ", ";
  }
  [[nodiscard]] static std::string percent(double x) {
    return trimmed(std::ceil(x * 1000.0 - 1e-6) / 10.0, 1);
  }
  [[nodiscard]] std::string held(const FactorPair& one) const {
    return percent(one.low) + "/" + percent(one.high) + ", held at " +
           depth_text(one.depth, units_) + " (run time " + clock_text(in_minutes(one.at)) + ")";
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
