//! Passes, saws and what they leave, as data.

use super::{
    BackerData, ContactData, LapData, LayerData, LimitData, PassData, SawnData, StepData,
    ThickData, at, phrase, rounded,
};
use crate::plan::{Lap, Pass, Plan, Saw, Sawn, Step, TakeDown, Task, Thick, waste_limit};
use crate::sheet::prepare;
use crate::shop::{Shop, defaults};
use crate::units::{Mm, Paper};

pub(super) fn pass(pass: &Pass, (plan, shop): (&Plan, &Shop)) -> PassData {
    let ring = &plan.parts[pass.part].guide.loops[pass.span.on];
    let names = pass.stretches.iter().map(|&index| plan.stretches[index].name.clone());
    let bit = &shop.bits[plan.set_ups[pass.set_up].bit];
    let backer = |place| BackerData {
        at: at(place),
        length: rounded(defaults::BACKER_LENGTH.value * bit.cutter.mm()),
        thick: shop.stock.thick.map(Mm::mm).map(rounded),
    };
    PassData {
        number: pass.number,
        set_up: pass.set_up + 1,
        feed: pass.feed.word(),
        stretches: names.collect(),
        from: at(ring.at(pass.span.from)),
        to: at(ring.at(pass.span.to())),
        start: phrase::start(pass.start.0, Paper::MM),
        starts_at: at(pass.start.1),
        exit: phrase::exit(pass.exit.0),
        ends_at: at(pass.exit.1),
        backers: pass.backers.iter().copied().map(backer).collect(),
        contact: pass
            .contact
            .iter()
            .map(|contact| contact_data(contact, plan, pass))
            .collect(),
        arrival: pass.arrival.map(rounded),
        layer: LayerData {
            number: pass.layer.number,
            from: rounded(pass.layer.from),
            to: pass.layer.to.map(rounded),
            template_on: pass.layer.template_on,
        },
        bearing: rounded(pass.bearing.mm()),
        lap: LapData {
            kind: pass.lap.word(),
            light_leaves: match pass.lap {
                Lap::Only => None,
                Lap::Light(leaves) | Lap::Flush(leaves) => Some(rounded(leaves)),
            },
        },
        limit: LimitData {
            waste: rounded(waste_limit(bit.cutter.mm())),
            care: defaults::ENGAGEMENT_CAUTION.value,
            stop: defaults::ENGAGEMENT_STOP.value,
        },
        minutes: rounded(pass.minutes()),
        why: pass.why.words(),
    }
}

fn contact_data(contact: &crate::plan::Contact, plan: &Plan, pass: &Pass) -> ContactData {
    let ring = &plan.parts[pass.part].guide.loops[contact.span.on];
    ContactData {
        from: at(ring.at(contact.span.from)),
        to: at(ring.at(contact.span.to())),
        waste: rounded(contact.waste),
        psi: rounded(contact.psi),
        asks_for: contact.asks_for(),
    }
}

pub(super) fn sawn(sawn: &Sawn, plan: &Plan) -> SawnData {
    let (saw, width) = match sawn.saw {
        Saw::Bandsaw(width) => ("bandsaw", Some(width)),
        Saw::Jigsaw => ("jigsaw", None),
        Saw::Fretsaw => ("fretsaw", None),
        Saw::Drill(width) => ("drill", Some(width)),
    };
    SawnData {
        part: plan.parts[sawn.part].outline.name.clone(),
        on: sawn.on,
        saw,
        width: width.map(rounded),
        support: sawn.support,
    }
}

pub(super) fn step(step: &Step, (plan, shop): (&Plan, &Shop)) -> StepData {
    let width = |saw: Saw| match saw {
        Saw::Bandsaw(width) | Saw::Drill(width) => Some(width),
        Saw::Jigsaw | Saw::Fretsaw => None,
    };
    let (on, place, width) = match step.task {
        Task::Bore { on, at, wide } => (Some(on), Some(at), Some(wide)),
        Task::SawOpening { on, saw } | Task::SawOutside { on, saw } => {
            (Some(on), None, width(saw))
        }
        Task::TakeDown { at, way, .. } => match way {
            TakeDown::Drill(width) | TakeDown::Drum(width) => {
                (None, Some(at), Some(width))
            }
            TakeDown::Rasp => (None, Some(at), None),
        },
        Task::Fill { on, wide, .. } => (Some(on), None, Some(wide)),
        Task::Align(_)
        | Task::Pins
        | Task::Trace
        | Task::TemplateOff
        | Task::TemplateBack(..) => (None, None, None),
    };
    StepData {
        number: step.number,
        part: plan.parts[step.part].outline.name.clone(),
        task: step.task.word(),
        on,
        at: place.map(at),
        width: width.map(rounded),
        text: prepare::words(step, (plan, shop), Paper::MM),
        why: step.task.why(),
    }
}

pub(super) fn thick(thick: &Thick, plan: &Plan) -> ThickData {
    let (take_down, width) = match thick.way {
        TakeDown::Drill(width) => ("drill", Some(width)),
        TakeDown::Drum(width) => ("drum", Some(width)),
        TakeDown::Rasp => ("rasp", None),
    };
    ThickData {
        part: plan.parts[thick.part].outline.name.clone(),
        at: at(thick.at),
        radius: rounded(thick.radius),
        left: rounded(thick.left),
        most: rounded(thick.most),
        take_down,
        width: width.map(rounded),
    }
}
