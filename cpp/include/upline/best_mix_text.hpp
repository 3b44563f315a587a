#pragma once
/// @file
/// @brief The best mix for reading: what each limit asks for, which decides, what the mix does.

#include <upline/best_mix.hpp>
#include <upline/detail/columns.hpp>
#include <upline/detail/number.hpp>
#include <upline/text.hpp>
#include <upline/version.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

/// @brief The columns of the limits of a mix, by name.
inline constexpr std::array<std::string_view, 5> mix_limit_columns{"limit", "stated", "asks for",
                                                                   "decides", "reached"};
/// @brief One line of them: a cell for each of mix_limit_columns.
using MixLimitLine = std::array<std::string, mix_limit_columns.size()>;

/// @brief The limit as a word: "po2", "narcotic_depth", "density", "nothing".
[[nodiscard]] constexpr std::string_view mix_limit_name(MixLimit limit) {
  switch (limit) {
  case MixLimit::nothing: return "nothing";
  case MixLimit::po2: return "po2";
  case MixLimit::narcotic_depth: return "narcotic_depth";
  case MixLimit::density: return "density";
  }
  return "";
}

namespace detail {

/// Writes one best mix in words.
class BestMixText {
public:
  BestMixText(const BestMix& found, Units units)
      : f_(found), units_(units), place_(found.limits.environment.place()) {}

  [[nodiscard]] std::string title() const {
    return "Best mix for " + length(f_.limits.depth, 3) + ", " +
           fixed(place_.pressure(in_metres(f_.limits.depth)), 2) + " bar";
  }

  [[nodiscard]] std::string verdict() const {
    if (!f_.mix)
      return "No mix keeps these limits: " + words(f_.oxygen_by) + " allows no more than " +
             lower(f_.most_oxygen) + " oxygen, too little to be breathed at that depth.";
    std::string text = capital(f_.mix->spoken()) + " (exactly " + lower(f_.exact->oxygen) +
                       " oxygen at most, " + upper(f_.exact->helium) + " helium at least). ";
    text += f_.oxygen_by == MixLimit::nothing ? "No limit stops oxygen"
                                              : capital(words(f_.oxygen_by)) + " decides oxygen";
    text += f_.helium_by == MixLimit::nothing ? ", and no helium is asked for."
                                              : ", " + words(f_.helium_by) + " helium.";
    return text;
  }

  [[nodiscard]] std::vector<MixLimitLine> table() const {
    std::vector<MixLimitLine> lines;
    MixLimitLine head;
    std::copy(mix_limit_columns.begin(), mix_limit_columns.end(), head.begin());
    lines.push_back(head);
    const MixLimits& asked = f_.limits;
    const double depth = in_metres(asked.depth);
    lines.push_back({"oxygen pressure", "up to " + trimmed(in_bar(asked.max_po2), 3) + " bar",
                     "oxygen up to " + lower(in_bar(asked.max_po2) / place_.pressure(depth)),
                     decides(MixLimit::po2),
                     f_.mix ? fixed(f_.mix->oxygen * place_.pressure(depth), 2) + " bar" : ""});
    if (asked.narcotic_depth)
      lines.push_back({"narcotic depth, " + convention(),
                       "up to " + length(*asked.narcotic_depth, 2), helium(f_.helium_for_narcosis),
                       decides(MixLimit::narcotic_depth),
                       f_.mix ? tenth_up(narcotic(*asked.narcotic)) : ""});
    if (asked.max_density)
      lines.push_back(
          {"density at " + temperature(), "up to " + trimmed(*asked.max_density, 3) + " g/L",
           helium(f_.helium_for_density), decides(MixLimit::density),
           f_.mix
               ? fixed(density(*f_.mix, depth, place_, in_celsius(asked.density_temperature)), 2) +
                     " g/L"
               : ""});
    return lines;
  }

  [[nodiscard]] std::vector<std::string> notes() const {
    std::vector<std::string> lines;
    if (!f_.mix) return lines;
    const MixLimits& asked = f_.limits;
    if (!asked.narcotic_depth && !asked.max_density)
      lines.emplace_back("No limit for narcosis or density was stated, so none asks for helium.");
    lines.push_back("Narcotic depth of " + f_.mix->spoken() + ": " +
                    tenth_up(narcotic(Narcotic::nitrogen_and_oxygen)) + " with oxygen counted, " +
                    tenth_up(narcotic(Narcotic::nitrogen)) +
                    " with nitrogen alone. Density at 0 degrees C: " +
                    fixed(density(*f_.mix, in_metres(asked.depth), place_), 2) +
                    " g/L (published limits 5.2 and 6.2).");
    lines.push_back(surface());
    if (f_.change) lines.push_back(isobaric(*f_.change));
    return lines;
  }

  [[nodiscard]] std::string assumptions() const {
    return "Assumptions: " + trimmed(place_.surface, 5) + " bar at the surface, " +
           trimmed(place_.per_metre, 5) +
           " bar a metre; oxygen rounded down and helium up, to whole per cent; upline " +
           std::string(version) + ".";
  }

  [[nodiscard]] std::string whole() const {
    constexpr std::array<bool, mix_limit_columns.size()> left{true, true, true, true, true};
    std::string text =
        title() + "\n\n" + wrapped(verdict(), "", "") + "\n" + aligned(table(), left) + "\n";
    for (const std::string& one : notes()) text += wrapped(one, "  ", "  ");
    return text + "\n" + wrapped(assumptions(), "", "") + "\n" + wrapped(schedule_foot, "", "");
  }

private:
  [[nodiscard]] std::string surface() const {
    const double there = f_.mix->oxygen * place_.surface;
    const std::string least = trimmed(in_bar(f_.limits.min_po2), 3) + " bar";
    if (!f_.hypoxic_at_surface())
      return "At the surface it holds " + fixed(there, 3) + " bar of oxygen, " + least +
             " or more.";
    return "At the surface it holds " + fixed(std::floor(there * 1e3) / 1e3, 3) +
           " bar of oxygen, less than " + least + ": not to be breathed above " +
           tenth_up(f_.shallowest()) + ". A travel gas is needed down to there.";
  }

  [[nodiscard]] std::string isobaric(const IsobaricChange& change) const {
    const auto points = [](double x) { return fixed(std::abs(x) * 100.0, 1); };
    const std::string next = f_.limits.next->spoken();
    std::string text =
        "On the change to " + next + " nitrogen " +
        (change.nitrogen_rise < 0.0 ? "falls" : "rises") + " by " + points(change.nitrogen_rise) +
        " points and helium " + (change.helium_fall < 0.0 ? "rises" : "falls") + " by " +
        points(change.helium_fall) + ", a fifth of which is " + points(change.allowed()) + ": ";
    text += change.within() ? "within" : "beyond";
    return text + " the rule of one fifth (common practice, no source, and disputed; the inner "
                  "ear is not modelled).";
  }

  [[nodiscard]] std::string convention() const {
    return *f_.limits.narcotic == Narcotic::nitrogen ? "nitrogen alone" : "oxygen counted";
  }
  [[nodiscard]] Depth narcotic(Narcotic counted) const {
    return metres(equivalent_narcotic_depth(*f_.mix, in_metres(f_.limits.depth), counted, place_));
  }
  [[nodiscard]] static std::string helium(const std::optional<double>& share) {
    if (!share) return "";
    return *share > 0.0 ? "helium from " + upper(*share) : "no helium";
  }
  [[nodiscard]] std::string decides(MixLimit one) const {
    std::string text;
    if (f_.oxygen_by == one) text = "oxygen";
    if (f_.helium_by == one) text += text.empty() ? "helium" : " and helium";
    return text;
  }
  [[nodiscard]] static std::string words(MixLimit one) {
    switch (one) {
    case MixLimit::po2: return "the oxygen pressure";
    case MixLimit::narcotic_depth: return "the narcotic depth";
    case MixLimit::density: return "the density";
    case MixLimit::nothing: break;
    }
    return "no limit";
  }
  [[nodiscard]] static std::string capital(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z')
      text.front() = static_cast<char>(text.front() - 'a' + 'A');
    return text;
  }
  /// A share as per cent, rounded down or up to a hundredth.
  [[nodiscard]] static std::string lower(double share) {
    return fixed(std::max(0.0, std::floor(share * 1e4 + 1e-7)) / 100.0, 2) + " %";
  }
  [[nodiscard]] static std::string upper(double share) {
    return fixed(std::ceil(share * 1e4 - 1e-7) / 100.0, 2) + " %";
  }
  [[nodiscard]] std::string tenth_up(Depth x) const {
    const double shown = std::ceil(depth_in(x, units_) * 10.0 - 1e-7) / 10.0;
    if (shown < 0.0) return "less than 0";
    return fixed(std::max(0.0, shown), 1) + " " + length_name(units_);
  }
  [[nodiscard]] std::string length(Depth x, int digits) const {
    return trimmed(depth_in(x, units_), digits) + " " + length_name(units_);
  }
  /// Degrees Celsius whatever the units: the published limits are stated so.
  [[nodiscard]] std::string temperature() const {
    return trimmed(in_celsius(f_.limits.density_temperature), 1) + " degrees C";
  }

  const BestMix& f_;
  Units units_;
  Place place_;
};

} // namespace detail

/// @brief What is asked, in a line.
[[nodiscard]] inline std::string best_mix_title(const BestMix& found, Units units) {
  return detail::BestMixText(found, units).title();
}

/// @brief The mix and the limits that decide it, in a sentence; or that there is none.
[[nodiscard]] inline std::string best_mix_verdict(const BestMix& found, Units units) {
  return detail::BestMixText(found, units).verdict();
}

/// @brief The limits as cells: a head, then one line for each that is stated.
[[nodiscard]] inline std::vector<MixLimitLine> best_mix_table(const BestMix& found, Units units) {
  return detail::BestMixText(found, units).table();
}

/// @brief What the mix does: narcotic depths, density, the surface, the change to the next gas.
[[nodiscard]] inline std::vector<std::string> best_mix_notes(const BestMix& found, Units units) {
  return detail::BestMixText(found, units).notes();
}

/// @brief The conventions behind the numbers, in a line.
[[nodiscard]] inline std::string best_mix_assumptions(const BestMix& found, Units units) {
  return detail::BestMixText(found, units).assumptions();
}

/// @brief The whole answer as text, with the caution that belongs under it.
[[nodiscard]] inline std::string best_mix_text(const BestMix& found, Units units) {
  return detail::BestMixText(found, units).whole();
}

} // namespace upline
