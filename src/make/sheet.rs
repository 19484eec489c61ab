//! The numbers of the shop sheet.

use super::blanks::Laid;
use super::coupon::trial_sheet;
use super::overhead_words::from_dowels;
use super::planes::{deepest, into_base};
use super::{registered, times};
use crate::blank::{Kind, Layout, rounds};
use crate::brep::set_up::SetUp;
use crate::chain::{Cutter, Pin, Resolved, SectionForm};
use crate::check::cautions;
use crate::check::chain::glue_order;
use crate::export::drawing::{Drawing, Title};
use crate::params::value::Job;
use crate::report::{Assembly, Gauge, PieceSheet, Rod, ShopSheet, StationRow, Step};

/// Room left at the bottoms of the two holes of a pin, mm: 1/16 in (a pin maker's technical page).
pub(super) const PIN_ROOM: f64 = 1.5875;
/// A dowel ends so far under the face of the stock, mm (habit).
const DOWEL_BELOW: f64 = 1.0;
/// A joint face is right within this part of the clearance: the limit of the check of reach.
const RIGHT: f64 = 0.25;

/// The sheet of a creature as laid out; `names` are those of the kinds of pieces.
pub(super) fn sheet(
    resolved: &Resolved,
    laid: &Laid,
    names: &[String],
    verdict: &str,
) -> ShopSheet {
    let creature = &resolved.creature;
    let named: Vec<(&Layout, &Kind, &String)> = laid
        .blanks
        .kinds()
        .zip(names)
        .map(|((l, k), name)| (l, k, name))
        .collect();
    let pages = named.iter().flat_map(|&(layout, kind, name)| {
        SetUp::BOTH.map(|set_up| piece(resolved, laid, (layout, kind, name), set_up))
    });
    ShopSheet {
        creature: creature.name.clone(),
        bench_only: creature.bench_only,
        creatures: laid.blanks.creatures,
        species: creature.species.clone(),
        verdict: verdict.to_owned(),
        pieces: pages.collect(),
        assembly: assembly(resolved, laid),
        stations: stations(resolved),
        rounds: loads(resolved, &named),
        trial: resolved.trial.as_ref().map(|t| trial_sheet(resolved, t)),
        cautions: cautions::applying(&resolved.creature)
            .map(|c| c.text.to_owned())
            .collect(),
    }
}

fn piece(
    resolved: &Resolved,
    laid: &Laid,
    (layout, kind, name): (&Layout, &Kind, &String),
    set_up: SetUp,
) -> PieceSheet {
    let rules = &resolved.blank;
    let clamps = [rules.ends, rules.sides];
    let drawing = Drawing::of_piece(layout, clamps, &laid.lying(kind), set_up);
    let title = Title {
        part: name.clone(),
        bench_only: resolved.creature.bench_only,
    };
    let forms: Vec<&SectionForm> = kind
        .placed
        .iter()
        .map(|p| &resolved.creature.sections[laid.parts[p.part].sections[0] - 1].form)
        .collect();
    let inside_up = set_up == SetUp::InsideUp;
    let thickness = layout.board.thickness;
    let dowel = |rod: f64| {
        let long = thickness - DOWEL_BELOW + into_base(resolved);
        [rod, long]
    };
    PieceSheet {
        name: name.clone(),
        count: kind.repeat,
        stock: layout.board.name.clone(),
        size: [layout.size[0], layout.size[1], thickness],
        inside_up,
        too_high: resolved.fits.making.measured.height,
        whole: forms.iter().all(|f| f.whole),
        drawing: String::from_utf8_lossy(&drawing.svg(&title)).into_owned(),
        cutters: cutters(&resolved.cutters, &forms, inside_up),
        deepest: deepest(resolved, laid, kind, set_up),
        minutes: times::minutes(resolved, laid, (layout, kind), inside_up),
        cusp: times::cusp(&resolved.cutters),
        parts: kind
            .placed
            .iter()
            .map(|p| laid.parts[p.part].names[p.side].clone())
            .collect(),
        dowels: layout.dowels.map(|d| dowel(d.rod)),
        clamps,
        clamp_height: rules.clamp_height,
        from_dowels: inside_up.then(|| from_dowels(resolved, layout)).flatten(),
        flip: (!inside_up).then(|| registered::sheet_row(resolved, laid, (layout, kind))),
    }
}

/// What each cutter does in a set-up, in the order of the work.
fn cutters(own: &[Cutter], forms: &[&SectionForm], inside_up: bool) -> Vec<(String, String)> {
    let whole = forms.iter().all(|f| f.whole);
    let any = |has: fn(&SectionForm) -> bool| forms.iter().any(|f| has(f));
    let sockets = any(|f| {
        let held = |end: &crate::chain::End| matches!(end.joint, crate::chain::EndJoint::Socket(_));
        held(&f.front) || held(&f.rear)
    });
    let eyes = any(|f| !f.features.eyes.is_empty());
    let works = [
        (
            inside_up,
            Job::Holes,
            "holes of the dowels, through stock and base",
        ),
        (
            inside_up && any(|f| !f.pins.is_empty()),
            Job::Holes,
            "pin holes",
        ),
        (
            inside_up && !whole,
            Job::Relief,
            "relief groove round every outline",
        ),
        (
            inside_up && any(|f| !f.features.grooves.is_empty()),
            Job::Marks,
            "glue grooves",
        ),
        (
            inside_up && any(|f| !f.features.marks.is_empty()),
            Job::Marks,
            "numbers and arrows",
        ),
        (
            inside_up && whole,
            Job::Rough,
            "windows and outer form, to mid-height",
        ),
        (inside_up && whole, Job::Finish, "outer form"),
        (inside_up && sockets, Job::Finish, "sockets and flares"),
        (!inside_up, Job::Rough, "windows and outer form, tabs left"),
        (!inside_up, Job::Finish, "outer form, balls and necks"),
        (!inside_up && eyes, Job::Holes, "eyes"),
    ];
    works
        .iter()
        .filter(|(wanted, _, _)| *wanted)
        .map(|(_, job, words)| {
            let with = own.iter().find(|c| c.does(*job));
            let name = with.map_or("none in the shop file: by hand", |c| &c.name);
            ((*words).to_owned(), name.to_owned())
        })
        .collect()
}

fn stations(resolved: &Resolved) -> Vec<StationRow> {
    let rows = resolved.blank.stations.iter().map(|s| StationRow {
        name: s.name.clone(),
        set_up: set_up_words(s.inside_up).to_owned(),
        offset: s.offset.to_owned(),
        at: s.at,
    });
    rows.collect()
}

fn set_up_words(inside_up: bool) -> &'static str {
    if inside_up { "inside up" } else { "outside up" }
}

/// Which piece comes where in each round, in words.
fn loads(resolved: &Resolved, kinds: &[(&Layout, &Kind, &String)]) -> Vec<Vec<String>> {
    let stations = &resolved.blank.stations;
    if stations.is_empty() {
        return Vec::new();
    }
    let pieces: Vec<String> = kinds
        .iter()
        .flat_map(|(_, kind, name)| {
            let alike = kind.repeat;
            (1..=alike).map(move |n| match alike {
                1 => (*name).clone(),
                _ => format!("{name} no. {n}"),
            })
        })
        .collect();
    let words = |load: &crate::blank::Load| {
        let station = &stations[load.station];
        format!(
            "{} on {} ({})",
            pieces[load.piece],
            station.name,
            set_up_words(station.inside_up)
        )
    };
    let all = rounds(stations, pieces.len());
    all.iter().map(|r| r.iter().map(words).collect()).collect()
}

fn assembly(resolved: &Resolved, laid: &Laid) -> Assembly {
    let advice = [
        "Dry first: pins in, both halves together, move the joint. Sand the split faces by the \
         allowance that the manifest states, the outer form lightly, balls and sockets never.",
        "Glue each upper half to the lower one that was cut beside it on the same piece: what the flip moved \
         is then alike on both.",
        "Glue (common practice): water-resistant PVA in a thin film, none within 3 mm of the socket; \
         wax on the finished ball. Clamp 30 to 45 minutes, move the joint after 2 and after 10 minutes, \
         pull at it after a day.",
        "Finish (common practice): oil or wax, no film on the joint.",
    ];
    Assembly {
        steps: steps(resolved, laid),
        rods: rods(resolved, laid),
        gauges: gauges(resolved),
        advice: advice.map(str::to_owned).to_vec(),
    }
}

/// Whether a section, by its index, is among what was laid out.
fn is_laid(laid: &Laid, section: usize) -> bool {
    let mut parts = laid.parts.iter();
    parts.any(|p| p.sections.contains(&(section + 1)))
}

fn steps(resolved: &Resolved, laid: &Laid) -> Vec<Step> {
    let sections = &resolved.creature.sections;
    let in_front: Vec<bool> = resolved.joints.iter().map(|j| j.ball_in_front).collect();
    let step = |k: usize| {
        let mut balls = Vec::new();
        if k > 0 && in_front.get(k - 1) == Some(&true) {
            balls.push(sections[k - 1].name.clone());
        }
        if in_front.get(k) == Some(&false) {
            balls.push(sections[k + 1].name.clone());
        }
        let words = match (sections[k].form.whole, balls.is_empty()) {
            (true, _) => "in one piece, nothing to glue".to_owned(),
            (false, true) => "glue its two halves".to_owned(),
            (false, false) => format!(
                "close both halves round the ball of {}",
                balls.join(" and of ")
            ),
        };
        Step {
            number: sections[k].number,
            name: sections[k].name.clone(),
            words,
        }
    };
    glue_order(sections.len(), &in_front)
        .into_iter()
        .filter(|&k| is_laid(laid, k))
        .map(step)
        .collect()
}

/// Radius of the rod for a pin hole, mm.
pub(super) fn rod_radius(resolved: &Resolved, pin: &Pin) -> f64 {
    0.5 * (resolved.fits.made_hole(pin) - resolved.blank.slip)
}

/// Pins by size, thickest and longest first.
fn rods(resolved: &Resolved, laid: &Laid) -> Vec<Rod> {
    let mut rods: Vec<Rod> = Vec::new();
    let creatures = laid.blanks.creatures;
    let sections = resolved.creature.sections.iter().enumerate();
    let sections = sections.filter(|(k, _)| is_laid(laid, *k));
    let pins = sections.flat_map(|(_, s)| &s.form.pins);
    for pin in pins {
        // A coupon's holes are of several sizes for one and the same dowel.
        let dowel = resolved.trial.as_ref().map(|t| t.dowel);
        let diameter = dowel.unwrap_or(2.0 * rod_radius(resolved, pin));
        let length = pin.depth_above + pin.depth_below - PIN_ROOM;
        let alike =
            |r: &&mut Rod| (r.diameter - diameter).abs() < 1e-6 && (r.length - length).abs() < 1e-6;
        match rods.iter_mut().find(alike) {
            Some(rod) => rod.count += creatures,
            None => rods.push(Rod {
                diameter,
                length,
                count: creatures,
            }),
        }
    }
    rods.sort_by(|a, b| {
        let thick = b.diameter.total_cmp(&a.diameter);
        thick.then(b.length.total_cmp(&a.length))
    });
    rods
}

/// Sizes of each different joint.
fn gauges(resolved: &Resolved) -> Vec<Gauge> {
    let mut all: Vec<Gauge> = Vec::new();
    for link in &resolved.joints {
        let joint = &link.joint;
        let off = RIGHT * joint.clearance;
        let gauge = |what: &str, radius: f64, words: &str| Gauge {
            what: what.to_owned(),
            nominal: 2.0 * radius,
            go: [-off, off].map(|o| 2.0 * radius + o),
            off: words.to_owned(),
        };
        let own = [
            gauge(
                "glued ball, across the seam",
                joint.ball,
                "more: zero of set-up 2 was high, cut a new half; less: the joint is looser by that much",
            ),
            gauge(
                "neck",
                joint.neck,
                "more: less swing; less: weaker, do not use it under the least neck",
            ),
            gauge(
                "mouth, across the seam",
                joint.mouth,
                "more: the ball may come out; less: less swing",
            ),
        ];
        for new in own {
            if !all.contains(&new) {
                all.push(new);
            }
        }
    }
    all
}
