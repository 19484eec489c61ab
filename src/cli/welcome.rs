//! What `limberwood` alone shows: the next four things to type.

use super::finish::Finish;
use super::print;

const WELCOME: &str = "\
limberwood makes every half of a jointed wooden creature from one parameter file.

Four things to type next:
  limberwood make params/caterpillar.yaml   the demo: every file of it, in out/Caterpillar
  limberwood check params/newt.yaml         what to know before any wood is cut
  limberwood make --help                    what can be asked for, with examples
  limberwood schema design                  every key of a design file, for completion in your editor
";

/// Shows the welcome.
pub fn show() -> Finish {
    print::out(WELCOME)
}
