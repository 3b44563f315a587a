#pragma once
/// @file
/// @brief What the equation of state is made of: terms per gas, parameters per pair.
/// @par Source
/// Kunz and Wagner 2012 (GERG-2008; also ISO 20765-2), cited in docs/theory.md, section "Real
/// gas": pure gases in their tables of the residual Helmholtz energy, pairs in that of the
/// reducing functions. The numbers are from memory; another implementation of the equation gives
/// the same energies to 14 digits at 20 points per gas, so they are secondary, not read.

#include <array>
#include <cstddef>

namespace upline::detail {

/// @brief One term of a reduced Helmholtz energy: n delta^d tau^t, times exp(-delta^c) if c > 0.
struct EnergyTerm {
  double n; ///< [1]
  double t; ///< Exponent of the reciprocal reduced temperature.
  int d;    ///< Exponent of the reduced density.
  int c;    ///< Exponent within the exponential; 0: none.
};

/// @brief Where a gas, or a pair of gases, scales temperature and density.
struct CriticalPoint {
  double temperature; ///< [K]
  double density;     ///< [mol/L]
};

/// @brief How far a pair departs from the plain means of its critical points [1].
///
/// The volumes' and the temperatures' beta and gamma; the pair is not symmetric in beta.
struct PairParameters {
  double beta_volume;
  double gamma_volume;
  double beta_temperature;
  double gamma_temperature;
};

/// @brief Gas constant of the equation [L bar/(mol K)].
inline constexpr double gas_constant = 0.08314472;

/// @brief Critical points of nitrogen, oxygen and helium, in this order everywhere below.
inline constexpr std::array<CriticalPoint, 3> critical_points{
    {{126.192, 11.1839}, {154.595, 13.63}, {5.1953, 17.399}}};

inline constexpr PairParameters nitrogen_oxygen{0.999521770, 0.997082328, 0.997190589, 0.995157044};
inline constexpr PairParameters nitrogen_helium{0.969501055, 0.932629867, 0.692868765, 1.471831580};
/// No measurements stood behind this pair; the source takes plain means.
inline constexpr PairParameters oxygen_helium{1.0, 1.0, 1.0, 1.0};

inline constexpr std::array<EnergyTerm, 24> nitrogen_terms{{
    {0.59889711801201, 0.125, 1, 0},   {-1.6941557480731, 1.125, 1, 0},
    {0.24579736191718, 0.375, 2, 0},   {-0.23722456755175, 1.125, 2, 0},
    {0.017954918715141, 0.625, 4, 0},  {0.014592875720215, 1.5, 4, 0},
    {0.10008065936206, 0.625, 1, 1},   {0.73157115385532, 2.625, 1, 1},
    {-0.88372272336366, 2.75, 1, 1},   {0.31887660246708, 2.125, 2, 1},
    {0.20766491728799, 2.0, 3, 1},     {-0.019379315454158, 1.75, 6, 1},
    {-0.16936641554983, 4.5, 2, 2},    {0.13546846041701, 4.75, 3, 2},
    {-0.033066712095307, 5.0, 3, 2},   {-0.060690817018557, 4.0, 4, 2},
    {0.012797548292871, 4.5, 4, 2},    {0.0058743664107299, 7.5, 2, 3},
    {-0.018451951971969, 14.0, 3, 3},  {0.0047226622042472, 11.5, 4, 3},
    {-0.0052024079680599, 26.0, 5, 6}, {0.043563505956635, 28.0, 6, 6},
    {-0.036251690750939, 30.0, 6, 6},  {-0.0028974026866543, 16.0, 7, 6},
}};

inline constexpr std::array<EnergyTerm, 12> oxygen_terms{{
    {0.88878286369701, 0.25, 1, 0},
    {-2.4879433312148, 1.125, 1, 0},
    {0.59750190775886, 1.5, 1, 0},
    {0.0096501817061881, 1.375, 2, 0},
    {0.071970428712770, 0.25, 3, 0},
    {0.00022337443000195, 0.875, 7, 0},
    {0.18558686391474, 0.625, 2, 1},
    {-0.03812936803576, 1.75, 5, 1},
    {-0.15352245383006, 3.625, 1, 2},
    {-0.026726814910919, 3.625, 4, 2},
    {-0.025675298677127, 14.5, 3, 3},
    {0.0095714302123668, 12.0, 4, 3},
}};

inline constexpr std::array<EnergyTerm, 12> helium_terms{{
    {-0.45579024006737, 0.0, 1, 0},
    {1.2516390754925, 0.125, 1, 0},
    {-1.5438231650621, 0.75, 1, 0},
    {0.020467489707221, 1.0, 4, 0},
    {-0.34476212380781, 0.75, 1, 1},
    {-0.020858459512787, 2.625, 3, 1},
    {0.016227414711778, 0.125, 5, 1},
    {-0.057471818200892, 1.25, 5, 1},
    {0.019462416430715, 2.0, 5, 1},
    {-0.03329568012302, 1.0, 2, 2},
    {-0.010863577372367, 4.5, 1, 3},
    {-0.022173365245954, 5.0, 2, 3},
}};

inline constexpr std::size_t energy_term_count =
    nitrogen_terms.size() + oxygen_terms.size() + helium_terms.size();

} // namespace upline::detail
