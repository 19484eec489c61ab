//! The words of a coupon's shop sheet.

use crate::chain::{Resolved, Trial};
use crate::params::value::Job;
use crate::report::TrialSheet;
use crate::units::mm_text;

/// The page of a coupon.
pub(in crate::make) fn trial_sheet(resolved: &Resolved, trial: &Trial) -> TrialSheet {
    let sockets = trial.sockets.iter();
    let first = trial.sockets.first().map_or(1, |s| s.number);
    let last = trial.sockets.last().map_or(1, |s| s.number);
    TrialSheet {
        joint: format!(
            "The joint after {} of {}: one ball, number {}, and {} sockets with different gaps. The \
             numbers are cut into the glue faces.",
            trial.after,
            trial.of,
            trial.ball_number,
            trial.sockets.len()
        ),
        steps: steps(trial, first, last),
        sockets: sockets
            .map(|s| (s.number, [s.clearance, s.diameter, s.wall]))
            .collect(),
        holes: trial.holes.iter().map(|h| (h.number, h.diameter)).collect(),
        sizes: sizes(resolved, trial, first),
        left_out: trial.left_out.clone(),
        next: next(trial),
    }
}

fn steps(trial: &Trial, first: usize, last: usize) -> Vec<String> {
    let ball = trial.ball_number;
    let tab = |number: usize| {
        let own = trial.tabs.iter().find(|(n, _)| *n == number);
        own.map_or_else(String::new, |(_, thick)| mm_text(*thick))
    };
    vec![
        "Before the parts come out of the blank: lift at each tab a little. Which ones hold, which \
         break?"
            .to_owned(),
        format!(
            "Cut the tabs. Those of number {first} are {} thick, those of number {last} {}, all others {}.",
            tab(first),
            tab(last),
            tab(ball)
        ),
        "Do not sand balls and sockets. Sand the split faces as you will sand the creature's.".to_owned(),
        format!(
            "Push the dowel, {}, into every pin hole by hand: which numbers take it?",
            mm_text(trial.dowel)
        ),
        format!("Glue the two halves of number {ball} with their pin. Let it dry. Wax the ball."),
        "Measure what the next page lists.".to_owned(),
        "Lay the two halves of a socket round the ball with their pin, without glue. Hold them shut \
         with a clamp or rubber bands and move the joint to all sides. Write down how it moves, open \
         it, take the next number."
            .to_owned(),
        "Stiff holds any pose; easy moves by itself and holds a little; loose dangles; stuck does not \
         move by hand."
            .to_owned(),
        "Press with the thumb on the wood over each socket: does it give?".to_owned(),
    ]
}

fn sizes(resolved: &Resolved, trial: &Trial, first: usize) -> Vec<(String, Option<f64>)> {
    let mut all = vec![
        ("ball, along the seam".to_owned(), Some(trial.ball)),
        (
            format!("half of a socket, number {first}: from split face to flat, after sanding"),
            Some(trial.height),
        ),
    ];
    // Others than the finishing one do not touch ball and socket, but holes follow the one for holes.
    let own = resolved.cutters.iter();
    let own = own.filter(|c| c.does(Job::Finish) || c.does(Job::Holes));
    all.extend(own.map(|c| {
        let measured = 2.0 * c.radius;
        (format!("cutter `{}`, at its end", c.name), Some(measured))
    }));
    all
}

fn next(trial: &Trial) -> Vec<String> {
    let number = trial.sockets.get(1).or(trial.sockets.first());
    let number = number.map_or(1, |s| s.number);
    vec![
        "Calipers: the ball with the outer jaws in the plane of its seam; a socket with the inner jaws \
         at its split face, where it is widest. Measure three times and write the middle one."
            .to_owned(),
        format!(
            "Then, for example: limberwood record SHOP.yaml --coupon COUPON.json --easy {number} --ball {} \
             --socket {number}={}. It takes what was found into the shop file; without options it asks.",
            mm_text(trial.ball).trim_end_matches(" mm"),
            trial
                .sockets
                .iter()
                .find(|s| s.number == number)
                .map_or_else(String::new, |s| mm_text(s.diameter))
                .trim_end_matches(" mm"),
        ),
        "A tab that broke, or one that was hard to cut: write tab_thickness in the shop file. A wall \
         that gave: take another wood, or make sockets smaller."
            .to_owned(),
    ]
}
