#pragma once
/// @file
/// @brief The verdict of a check as sentences: what refuses first, then what the line says.

#include <upline/check.hpp>
#include <upline/checking/phrases.hpp>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief "41 in place of 14 in row 6 (12 m)".
[[nodiscard]] inline std::string corrected_number(const Corrected& one, const Table& table,
                                                  Units units) {
  return trimmed(*one.finding.proposed, 2) + " in place of " + trimmed(one.finding.value, 2) +
         " in " + row_text(table, one.finding.row, units);
}

/// @brief Writes the verdict of one check.
class VerdictText {
public:
  explicit VerdictText(const Check& check) : c_(check), pair_(check.rules.factors.text()) {}

  [[nodiscard]] std::string operator()() const {
    std::string line = of_line() + of_corrected();
    if (!c_.refused()) return line;
    return "Refused: " + refusals() + ". As to the limit line alone: " + uncapitalised(line);
  }

private:
  [[nodiscard]] const std::vector<ReadingVerdict>& readings() const { return c_.verdict.readings; }
  [[nodiscard]] const ReadingVerdict& governing() const { return readings()[c_.verdict.governing]; }

  [[nodiscard]] std::string refusals() const {
    std::string text;
    for (const Caution& one : c_.replay.cautions)
      if (Check::refuses(one))
        text += (text.empty() ? "" : ", ") + refusal_text(one, governing().reading.units);
    return text;
  }

  [[nodiscard]] static std::string uncapitalised(std::string text) {
    text.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(text.front())));
    return text;
  }

  [[nodiscard]] std::string of_line() const {
    const std::string against = pair_ + " (" + c_.rules.model + ")";
    const std::size_t count = readings().size();
    if (!readings().front().can_be_followed)
      return "Cannot tell. The table cannot be followed as written: some row leaves no time at its "
             "depth. Ask whoever cut it, mend that row and check again.";
    switch (c_.verdict.verdict) {
    case Verdict::satisfies:
      return "Satisfies " + against +
             (count == 1 ? std::string(" under the reading below.")
                         : " under each of the " + std::to_string(count) + " readings below.") +
             " This is not a statement that it is safe.";
    case Verdict::does_not:
      return "Does not satisfy " + against + ": " + shortfall(governing()) +
             (count == 1 ? std::string(".")
                         : " under the strictest of " + std::to_string(count) +
                               " readings, and beyond the line under each.") +
             at_surface_alone();
    case Verdict::cannot_tell: return "Cannot tell. " + cannot_tell();
    }
    return "";
  }

  /// Numbers that cannot all be right, or one that only looks wrong.
  [[nodiscard]] std::string what_is_wrong() const {
    const bool suspected =
        std::none_of(c_.findings.begin(), c_.findings.end(), [](const Finding& one) {
          return one.unsettles() && one.oddity != Oddity::depth_off_grid &&
                 one.oddity != Oddity::minutes_off;
        });
    return suspected ? "A number of it is probably miscopied" : "Its numbers contradict each other";
  }

  /// What it would be with the number that is proposed.
  [[nodiscard]] std::string of_corrected() const {
    if (!c_.unsettled()) return "";
    if (!c_.corrected) return " " + what_is_wrong() + ": see what is odd in its numbers.";
    const Corrected& one = *c_.corrected;
    std::string text = std::string(" ") + what_is_wrong() + "; with " +
                       corrected_number(one, c_.table, governing().reading.units) + " ";
    if (!one.settled) return text + "they still do.";
    switch (one.verdict.verdict) {
    case Verdict::satisfies: return text + "it satisfies " + pair_ + ".";
    case Verdict::does_not: return text + "it does not satisfy " + pair_ + ".";
    case Verdict::cannot_tell:
      return text + "it depends on the reading: check it again so written.";
    }
    return text;
  }

  /// Why a reading does not satisfy: at the surface by its fraction, below it by pressure.
  [[nodiscard]] static std::string shortfall(const ReadingVerdict& one) {
    if (one.surfacing_margin <= one.margin) return surfacing(one);
    return bar_text(-one.margin) + " beyond the line at " +
           depth_text(one.tightest, one.reading.units);
  }
  [[nodiscard]] static std::string surfacing(const ReadingVerdict& one) {
    return "surfacing " + fixed(one.surfacing_fraction, 3);
  }

  /// Where the way up decides under each reading, the surface may still leave a question.
  [[nodiscard]] std::string at_surface_alone() const {
    const auto within = [](const ReadingVerdict& one) {
      return one.surfacing_margin >= -audit_tolerance;
    };
    const ReadingVerdict& usual = readings().front();
    for (const Question question : questions)
      for (const ReadingVerdict& other : readings()) {
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

  // ---- cannot tell -----------------------------------------------------------------------

  /// Each question that by itself turns the verdict of the usual reading; else those that do
  /// together. Then how to answer them.
  [[nodiscard]] std::string cannot_tell() const {
    std::vector<Question> deciding;
    std::string text;
    const ReadingVerdict& usual = readings().front();
    for (const Question question : questions)
      for (const ReadingVerdict& other : readings()) {
        if (!differ_only_in(usual.reading, other.reading, question) ||
            usual.satisfies == other.satisfies)
          continue;
        text += turned_by(question, usual.satisfies ? other : usual,
                          usual.satisfies ? usual : other, text.empty());
        if (deciding.empty() || deciding.back() != question) deciding.push_back(question);
      }
    if (deciding.empty()) text = turned_together(deciding);
    text += "Ask whoever cut it, then say so: ";
    for (const Question question : deciding)
      text += (question == deciding.front() ? "" : "; ") + how_to_answer(question);
    return text + ".";
  }

  [[nodiscard]] std::string turned_by(Question question, const ReadingVerdict& bad,
                                      const ReadingVerdict& good, bool first) const {
    return "If " + answer_of(bad, question) + ", " +
           (first ? "the table does not satisfy " + pair_ : std::string("it does not")) + " (" +
           shortfall(bad) + "). If " + otherwise(good, question) + ", it does (" + surfacing(good) +
           "). ";
  }

  [[nodiscard]] static std::string otherwise(const ReadingVerdict& one, Question question) {
    if (question == Question::minutes && one.reading.minutes == MinutesMean::without_travel)
      return "they do not";
    return answer_of(one, question);
  }

  /// The answers that turn the usual verdict together: the fewest, then the farthest from it.
  [[nodiscard]] std::string turned_together(std::vector<Question>& deciding) const {
    const ReadingVerdict& usual = readings().front();
    const ReadingVerdict* turned = nullptr;
    for (const ReadingVerdict& one : readings()) {
      if (one.satisfies == usual.satisfies) continue;
      if (turned == nullptr || differences(one).size() < differences(*turned).size() ||
          (differences(one).size() == differences(*turned).size() &&
           std::abs(one.margin) > std::abs(turned->margin)))
        turned = &one;
    }
    if (!turned) return "";
    deciding = differences(*turned);
    std::string text = turned->satisfies ? "It satisfies " + pair_ : "It fails " + pair_;
    text += only(*turned, deciding) ? " only if " : " for one if ";
    for (const Question question : deciding)
      text += (question == deciding.front() ? "" : " and ") + answer_of(*turned, question);
    return text + " (" + (turned->satisfies ? surfacing(*turned) : shortfall(*turned)) +
           "); as it is usually read it " +
           (usual.satisfies ? "satisfies it (" + surfacing(usual)
                            : "does not (" + shortfall(usual)) +
           "). ";
  }

  /// The questions that a reading answers otherwise than the usual one.
  [[nodiscard]] std::vector<Question> differences(const ReadingVerdict& one) const {
    std::vector<Question> found;
    for (const Question question : questions)
      if (!alike(one.reading, readings().front().reading, question)) found.push_back(question);
    return found;
  }

  /// Whether every reading with its verdict gives these answers.
  [[nodiscard]] bool only(const ReadingVerdict& turned,
                          const std::vector<Question>& deciding) const {
    return std::all_of(readings().begin(), readings().end(), [&](const ReadingVerdict& one) {
      return one.satisfies != turned.satisfies ||
             std::all_of(deciding.begin(), deciding.end(), [&](Question question) {
               return alike(one.reading, turned.reading, question);
             });
    });
  }

  const Check& c_;
  std::string pair_;
};

} // namespace upline::detail
