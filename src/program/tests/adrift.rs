//! Pieces of wood that come loose where no tab stands.

use super::*;
use crate::prove::Rule;
use crate::read::Bottom;

/// A plate with a room of 40 by 40 mm behind a mouth so wide.
fn pocket(mouth: f64) -> Part {
    let (left, right) = (60.0 - mouth / 2.0, 60.0 + mouth / 2.0);
    part(vec![polygon(&[
        (0.0, 0.0),
        (120.0, 0.0),
        (120.0, 90.0),
        (right, 90.0),
        (right, 70.0),
        (80.0, 70.0),
        (80.0, 30.0),
        (40.0, 30.0),
        (40.0, 70.0),
        (left, 70.0),
        (left, 90.0),
        (0.0, 90.0),
    ])])
}

/// What is wrong with the program for a plate on a machine, by its ids.
fn refused(plate: Part, machine: Machine) -> Vec<&'static str> {
    let made = template_program(&plan(vec![plate]), &shop(machine), &post("iso-mm"), "a");
    made.map_or_else(
        |failure| failure.problems().iter().map(|problem| problem.id).collect(),
        |_proved| Vec::new(),
    )
}

/// Basis: geometry. A 6 mm mill that goes round takes 12 mm of a mouth: of one 10 wide nothing
/// stands that would hold the room's waste, of one 16 wide 4 mm do.
#[test]
fn the_waste_behind_a_narrow_mouth_must_be_held() {
    let loose = Rule::Loose.id();
    assert_eq!(refused(pocket(10.0), machine(6.0)), [loose]);
    assert_eq!(refused(pocket(16.0), machine(6.0)), [""; 0], "4 mm hold it");
    let skin = Machine { bottom: Bottom::Skin, ..machine(6.0) };
    assert_eq!(refused(pocket(10.0), skin), [""; 0], "the skin holds it");
}

#[test]
fn a_part_whose_tabs_are_all_cut_is_loose() {
    let shop = shop(machine(6.0));
    let plates = plan(vec![part(vec![polygon(&[
        (0.0, 0.0),
        (80.0, 0.0),
        (80.0, 60.0),
        (0.0, 60.0),
    ])])]);
    let dialect = post("iso-mm");
    let made = template_program(&plates, &shop, &dialect, "a").expect("it proves");
    let machine = shop.machine.as_ref().expect("there is one");
    let lay = lay(&plates.parts, machine, shop.paper).expect("it can be laid");
    let promise = promise(&plates.parts, &shop, (machine, &lay), &dialect);
    let is_loose = |text: &str| {
        let judgement = crate::prove::judge(&[text], &promise);
        judgement.faults().iter().any(|fault| fault.rule == Rule::Loose)
    };
    assert!(!is_loose(made.text()), "tabs hold it");
    let deep = format!("Z{:.3}", machine.deepest(promise.thick));
    let tab = format!("Z{:.3}", crate::prove::tab_top(promise.thick, machine));
    assert!(made.text().contains(&tab), "it has tabs at {tab}");
    assert!(is_loose(&made.text().replace(&tab, &deep)), "nothing holds it");
}
