//! What `limberwood` alone shows: the next five things to type.

use super::finish::Finish;
use super::print;

const WELCOME: &str = "\
limberwood makes every half of a jointed wooden creature from one parameter file.

Five things to type next:
  limberwood new Newt                       your own creature: a few questions, then a checked design
  limberwood make params/caterpillar.yaml   the demo: every file of it, in out/Caterpillar
  limberwood check params/newt.yaml         what to know before any wood is cut
  limberwood make --help                    what can be asked for, with examples
  limberwood schema design                  every key of a design file, for completion in your editor
";

/// Shows the welcome.
pub fn show() -> Finish {
    print::out(WELCOME)
}
