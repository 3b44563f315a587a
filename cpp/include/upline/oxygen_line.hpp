#pragma once
/// @file
/// @brief Whose rules there are for kit, how sure that is, and the lines of oxygen service.
/// @par Source
/// docs/theory.md, section "Kit".

#include <upline/detail/mix_text.hpp>
#include <upline/detail/number.hpp>
#include <upline/error.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace upline {

namespace detail {

inline constexpr double fit_slack = 1e-9;

[[nodiscard]] inline std::string kit_share_text(double share) { return percent_text(share) + " %"; }

} // namespace detail

/// @brief How sure it is that a rule says what is written here.
enum class Sureness {
  entered,   ///< The person entered it.
  read,      ///< Read in the source, its scope or its abstract.
  secondary, ///< From an account of the source, to be confirmed in it.
  memory,    ///< From memory, to be confirmed.
  practice   ///< Common practice, no source.
};

/// @brief Whose rule it is.
enum class Authority {
  plate,         ///< What the person read from the plate.
  own_interval,  ///< What the person stated.
  en_144_3,      ///< EN 144-3 and EN 13949.
  gas_industry,  ///< Bodies of the gas industry.
  military,      ///< MIL-STD-1330 and NFPA.
  cfr_46,        ///< 46 CFR 197.326.
  en_250,        ///< EN 250.
  titanium,      ///< ASTM G94 and MNL36.
  materials,     ///< ASTM G63 and G94, and the maker.
  cleaning,      ///< CGA G-4.1 and ASTM G93.
  cylinder_test, ///< ISO 18119 and national codes.
  connectors,    ///< ISO 12209 and EN 144-3.
  practice       ///< Nobody's: common practice, no source.
};

/// @brief An authority in words, and how sure that it says so.
struct AuthorityEntry {
  Authority authority;   ///< Whose.
  std::string_view name; ///< In words.
  Sureness sure;         ///< How sure.
};

/// @brief Whose rules there are.
inline constexpr std::array authorities{
    AuthorityEntry{Authority::plate, "the plate as entered", Sureness::entered},
    AuthorityEntry{Authority::own_interval, "the interval as entered", Sureness::entered},
    AuthorityEntry{Authority::en_144_3, "EN 144-3:2003 and EN 13949:2003, by their scopes",
                   Sureness::read},
    AuthorityEntry{Authority::gas_industry, "bodies of the gas industry", Sureness::secondary},
    AuthorityEntry{Authority::military, "MIL-STD-1330 and NFPA", Sureness::secondary},
    // 29 CFR 1910.430(i) says the same of commercial diving: from memory, to be confirmed.
    AuthorityEntry{Authority::cfr_46, "46 CFR 197.326, for commercial diving", Sureness::read},
    AuthorityEntry{Authority::en_250, "EN 250:2014", Sureness::secondary},
    AuthorityEntry{Authority::titanium, "ASTM G94 and MNL36", Sureness::memory},
    AuthorityEntry{Authority::materials, "ASTM G63 and G94, and the maker's word",
                   Sureness::memory},
    AuthorityEntry{Authority::cleaning,
                   "CGA G-4.1 and ASTM G93, which give methods and no acceptance limits",
                   Sureness::read},
    AuthorityEntry{Authority::cylinder_test, "ISO 18119 and national codes, interval as entered",
                   Sureness::memory},
    AuthorityEntry{Authority::connectors, "ISO 12209 and EN 144-3", Sureness::memory},
    AuthorityEntry{Authority::practice, "", Sureness::practice},
};

/// @brief Above which share of oxygen a set counts as in oxygen service. There is no default.
enum class OxygenLine {
  above_22,   ///< 22 %
  above_23_5, ///< 23.5 %
  above_25,   ///< 25 %
  above_40    ///< 40 %
};

/// @brief A line, its share and whose it is.
struct OxygenLineEntry {
  OxygenLine line;     ///< Which.
  double share;        ///< Ordinary service up to here [1].
  Authority authority; ///< Whose.
};

/// @brief The lines in use, the strictest first.
inline constexpr std::array oxygen_lines{
    OxygenLineEntry{OxygenLine::above_22, 0.22, Authority::en_144_3},
    OxygenLineEntry{OxygenLine::above_23_5, 0.235, Authority::gas_industry},
    OxygenLineEntry{OxygenLine::above_25, 0.25, Authority::military},
    OxygenLineEntry{OxygenLine::above_40, 0.40, Authority::cfr_46},
};

/// @brief The line at a number of per cent.
/// @param percent 22, 23.5, 25 or 40.
/// @throws InvalidInput for any other.
[[nodiscard]] inline OxygenLine oxygen_line_at(double percent) {
  constexpr double hundred = 100.0;
  constexpr double slack = 1e-9;
  for (const OxygenLineEntry& one : oxygen_lines)
    if (std::abs(one.share * hundred - percent) < slack) return one.line;
  throw InvalidInput(
      "oxygen_line", std::isnan(percent) ? "not a number" : detail::trimmed(percent, 6) + " %",
      "22, 23.5, 25 or 40 [%]", "choose the line that your rules draw; there is no default");
}

/// @brief Share up to which a line counts as ordinary service [1].
[[nodiscard]] constexpr double share_of(OxygenLine line) {
  return oxygen_lines[static_cast<std::size_t>(line)].share;
}

/// @brief How sure, in words: "common practice, no source".
[[nodiscard]] constexpr std::string_view sureness_text(Sureness sure) {
  switch (sure) {
  case Sureness::entered:
  case Sureness::read: return "";
  case Sureness::secondary: return "secondary account, to be confirmed";
  case Sureness::memory: return "from memory, to be confirmed";
  case Sureness::practice: return "common practice, no source";
  }
  return "";
}

/// @brief Whose rule, and how sure that it says so: "EN 250:2014 (secondary account, to be
/// confirmed)".
[[nodiscard]] inline std::string authority_text(Authority authority) {
  const AuthorityEntry& entry = authorities[static_cast<std::size_t>(authority)];
  std::string sure(sureness_text(entry.sure));
  if (entry.name.empty()) return sure;
  return std::string(entry.name) + (sure.empty() ? "" : " (" + sure + ")");
}

/// @brief A share of oxygen against the line that was chosen, and against its neighbours.
///
/// "32 %: fit under the 40 % rule (your choice); above the 22 %, 23.5 % and 25 % lines".
[[nodiscard]] inline std::string oxygen_line_text(double share, OxygenLine chosen) {
  const auto named = [](const OxygenLineEntry& one) { return detail::kit_share_text(one.share); };
  const auto above = [&](const OxygenLineEntry& one) {
    return share > one.share + detail::fit_slack;
  };
  const OxygenLineEntry& own = oxygen_lines[static_cast<std::size_t>(chosen)];
  std::string text = detail::kit_share_text(share) +
                     (above(own) ? ": above the " + named(own) + " line"
                                 : ": fit under the " + named(own) + " rule") +
                     " (your choice)" + (above(own) ? ", in oxygen service" : "");
  for (const bool which : {true, false}) {
    std::vector<std::string> others;
    for (const OxygenLineEntry& one : oxygen_lines)
      if (one.line != chosen && above(one) == which) others.push_back(named(one));
    if (others.empty()) continue;
    text += which ? "; above the " : "; not above the ";
    for (std::size_t j = 0; j < others.size(); ++j)
      text += (j == 0 ? "" : j + 1 == others.size() ? " and " : ", ") + others[j];
    text += others.size() == 1 ? " line" : " lines";
  }
  return text;
}

} // namespace upline
