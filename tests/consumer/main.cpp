// Plans the demo dive (invented) with the library as somebody else's program would use it.
#include <upline/upline.hpp>

#include <iostream>

int main() {
  using namespace upline;
  const Dive dive{.levels = {{metres(57), minutes(25)}}, .gases = {"18/45", "50", "O2"}};
  Rules rules{.factors = GradientFactors::parse("40/80")};
  rules.ladder.last_stop = metres(6);
  std::cout << plan(dive, rules); // table, cautions, assumptions, foot
}
