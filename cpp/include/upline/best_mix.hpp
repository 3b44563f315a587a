#pragma once
/// @file
/// @brief The mix with the most oxygen, and the least helium, that a depth and stated limits allow.
/// @par Source
/// docs/theory.md, section "Best mix". The forms are those of gas.hpp, turned round.

#include <upline/detail/require.hpp>
#include <upline/environment.hpp>
#include <upline/gas.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

namespace upline {

/// @brief What a mix has to keep to; what is not stated does not count.
struct MixLimits {
  Depth depth{};                         ///< Where it is breathed, above 0 and up to 350 m.
  Pressure max_po2{};                    ///< Most oxygen there, 0.2 to 3 bar.
  std::optional<Depth> narcotic_depth{}; ///< Deepest equivalent narcotic depth ...
  std::optional<Narcotic> narcotic{};    ///< ... and what counts in it; stated together.
  std::optional<double> max_density{};   ///< [g/L]
  Temperature density_temperature = celsius(0.0); ///< At which the density limit counts.
  Pressure min_po2 = bar(0.18);                   ///< Below it a mix counts as hypoxic.
  std::optional<Gas> next{}; ///< The gas that is breathed after it on the way up.
  Environment environment{}; ///< Of the dive.
};

/// @brief Which limit decides a fraction.
enum class MixLimit {
  nothing,        ///< None: no helium is needed, or oxygen is 100 %.
  po2,            ///< Oxygen pressure.
  narcotic_depth, ///< Equivalent narcotic depth.
  density         ///< Density.
};

/// @brief Nitrogen and helium at the change to the next gas, as fractions.
struct IsobaricChange {
  double nitrogen_rise = 0.0; ///< Below 0 where it falls [1].
  double helium_fall = 0.0;   ///< Below 0 where it rises [1].

  /// @brief A fifth of the fall of helium: what nitrogen may rise by (common practice, no source).
  [[nodiscard]] double allowed() const { return std::max(0.0, helium_fall) / 5.0; }
  /// @brief Whether nitrogen rises by no more than that.
  [[nodiscard]] bool within() const { return nitrogen_rise <= allowed() + 1e-9; }
};

/// @brief The answer to MixLimits.
struct BestMix {
  MixLimits limits;         ///< What was asked.
  double most_oxygen = 0.0; ///< That all limits together allow, not rounded [1].
  MixLimit oxygen_by{};     ///< The limit behind it.
  /// Helium that each limit asks for beside `most_oxygen`; nothing where it is not stated.
  std::optional<double> helium_for_narcosis{};
  std::optional<double> helium_for_density{}; ///< [1]
  MixLimit helium_by{};                       ///< The limit behind the larger of them.
  std::optional<Gas> exact{};             ///< Not rounded; nothing where no mix keeps the limits.
  std::optional<Gas> mix{};               ///< In whole per cent: oxygen down, helium up.
  std::optional<IsobaricChange> change{}; ///< From `mix` to the next gas.

  /// @brief Shallowest depth at which the mix holds min_po2; 0 where the surface will do.
  [[nodiscard]] Depth shallowest() const {
    if (!mix) return {};
    return metres(minimum_depth(*mix, in_bar(limits.min_po2), limits.environment.place()));
  }
  /// @brief Whether the mix is hypoxic at the surface.
  [[nodiscard]] bool hypoxic_at_surface() const { return shallowest() > Depth(); }
};

namespace detail {

inline void require_mix_limits(const MixLimits& limits) {
  constexpr Depth deepest = metres(350.0);
  require_length("depth", limits.depth, Depth(), deepest, "give the depth of the bottom");
  if (!(limits.depth > Depth()))
    throw InvalidInput("depth", length_text(limits.depth), "below the surface",
                       "give the depth of the bottom");
  require_range("max_po2", in_bar(limits.max_po2), 0.2, 3.0, "bar",
                "give the most oxygen at the depth");
  require_range("min_po2", in_bar(limits.min_po2), 0.1, 0.5, "bar",
                "give the least oxygen that may be breathed");
  if (limits.narcotic_depth)
    require_length("narcotic_depth", *limits.narcotic_depth, Depth(), deepest,
                   "give the deepest equivalent narcotic depth");
  if (limits.narcotic_depth.has_value() != limits.narcotic.has_value())
    throw InvalidInput("narcotic",
                       limits.narcotic ? "given without narcotic_depth"
                                       : "missing beside "
                                         "narcotic_depth",
                       "nitrogen and oxygen, or nitrogen alone, together with narcotic_depth",
                       "state what counts as narcotic: the two conventions give different mixes");
  if (limits.max_density)
    require_range("max_density", *limits.max_density, 0.5, 20.0, "g/L",
                  "give the densest gas that may be breathed; published limits are 5.2 and 6.2");
  require_range("density_temperature", in_celsius(limits.density_temperature), -50.0, 100.0,
                "degrees C", "give the reference temperature of the density limit");
}

/// Fractions under the limits.
class MixFinder {
public:
  explicit MixFinder(const MixLimits& limits)
      : limits_(limits), place_(limits.environment.place()),
        pressure_(place_.pressure(in_metres(limits.depth))) {}

  /// The most oxygen, with all the rest helium if need be.
  void set_oxygen(BestMix& found) const {
    found.most_oxygen = 1.0;
    const auto bound = [&](double share, MixLimit by) {
      if (!(share < found.most_oxygen)) return;
      found.most_oxygen = share;
      found.oxygen_by = by;
    };
    bound(in_bar(limits_.max_po2) / pressure_, MixLimit::po2);
    if (limits_.narcotic_depth && *limits_.narcotic == Narcotic::nitrogen_and_oxygen)
      bound(narcotic_pressure() / pressure_, MixLimit::narcotic_depth);
    if (limits_.max_density) {
      const double lean = dense(Gas(least_oxygen, 1.0 - least_oxygen));
      const double rich = dense(Gas(1.0));
      bound(least_oxygen + (*limits_.max_density - lean) / (rich - lean) * (1.0 - least_oxygen),
            MixLimit::density);
    }
  }

  /// Helium that narcosis asks for beside so much oxygen.
  [[nodiscard]] std::optional<double> for_narcosis(double oxygen) const {
    if (!limits_.narcotic_depth) return {};
    const double share = narcotic_pressure() / pressure_;
    if (*limits_.narcotic == Narcotic::nitrogen_and_oxygen) return std::max(0.0, 1.0 - share);
    constexpr double in_air = 0.79; // as in equivalent_air_depth()
    return std::max(0.0, 1.0 - oxygen - in_air * share);
  }

  /// Helium that density asks for beside so much oxygen.
  [[nodiscard]] std::optional<double> for_density(double oxygen) const {
    if (!limits_.max_density) return {};
    const double most = 1.0 - oxygen;
    const double without = dense(Gas(oxygen));
    if (without <= *limits_.max_density || !(most > 0.0)) return 0.0;
    return most * (without - *limits_.max_density) / (without - dense(Gas(oxygen, most)));
  }

  [[nodiscard]] double helium(double oxygen) const {
    const double needed =
        std::max(for_narcosis(oxygen).value_or(0.0), for_density(oxygen).value_or(0.0));
    return std::min(needed, 1.0 - oxygen);
  }

  [[nodiscard]] bool breathable(double oxygen) const {
    return oxygen >= least_oxygen && oxygen * pressure_ >= in_bar(limits_.min_po2);
  }

private:
  [[nodiscard]] double narcotic_pressure() const {
    return place_.pressure(in_metres(*limits_.narcotic_depth));
  }
  [[nodiscard]] double dense(const Gas& gas) const {
    return density(gas, in_metres(limits_.depth), place_, in_celsius(limits_.density_temperature));
  }

  const MixLimits& limits_;
  Place place_;
  double pressure_; // at the depth [bar]
};

} // namespace detail

/// @brief The mix with the most oxygen that the limits allow, and the least helium beside it.
///
/// Helium is the larger of what narcosis and density ask for. The rounded mix keeps every limit as
/// well: its oxygen is rounded down first, and its helium is found for that and rounded up.
/// @param limits What the mix has to keep to.
/// @throws InvalidInput for what is out of range, or a narcotic depth without its convention.
[[nodiscard]] inline BestMix best_mix(const MixLimits& limits) {
  detail::require_mix_limits(limits);
  BestMix found{.limits = limits};
  const detail::MixFinder finder(limits);
  finder.set_oxygen(found);
  if (!finder.breathable(found.most_oxygen)) return found;
  const double oxygen = found.most_oxygen;
  found.helium_for_narcosis = finder.for_narcosis(oxygen);
  found.helium_for_density = finder.for_density(oxygen);
  found.exact = Gas(oxygen, finder.helium(oxygen));
  if (found.exact->helium > 0.0)
    found.helium_by =
        found.helium_for_density.value_or(0.0) > found.helium_for_narcosis.value_or(0.0)
            ? MixLimit::density
            : MixLimit::narcotic_depth;
  constexpr double slack = 1e-9; // a per cent that is whole but for rounding
  const double whole = std::floor(oxygen * 100.0 + slack);
  if (!finder.breathable(whole / 100.0)) return found;
  const double helium = std::ceil(finder.helium(whole / 100.0) * 100.0 - slack);
  found.mix = Gas(whole / 100.0, helium / 100.0);
  if (limits.next)
    found.change = IsobaricChange{limits.next->nitrogen() - found.mix->nitrogen(),
                                  found.mix->helium - limits.next->helium};
  return found;
}

} // namespace upline
