//! What a job can begin with: joints and samples, and the posts by name.

use super::start::{SAMPLES, job_of_joint, shows};
use crate::read::{self, Checked, JointName};
use crate::sheet::parts_outline;
use crate::{files, post, work};
use serde_json::{Value, json};

/// All of it as JSON.
pub(super) fn offers() -> Vec<u8> {
    let joints: Vec<Value> = JointName::ALL.into_iter().map(joint).collect();
    let samples: Vec<Value> = SAMPLES
        .iter()
        .map(|sample| {
            let title = sample.name.replace('-', " ");
            json!({ "name": sample.name, "title": title, "words": shows(sample) })
        })
        .collect();
    let posts: Vec<Value> = post::names().map(|name| json!({ "name": name })).collect();
    json!({ "joints": joints, "samples": samples, "posts": posts, "rack": files::RACK })
        .to_string()
        .into_bytes()
}

fn joint(name: JointName) -> Value {
    let nothing = |_: &str| -> Checked<Vec<u8>> { Ok(Vec::new()) };
    let job = read::job("joint.toml", &job_of_joint(name, None));
    let outlines = job.and_then(|told| work::outlines(&told.value, &nothing));
    let outlines = outlines.map(|told| told.value).unwrap_or_default();
    let title = name.word().replace('-', " ");
    json!({
        "name": name.word(), "title": title, "words": "both halves, sized from the stock",
        "svg": parts_outline(&outlines, &title),
    })
}
