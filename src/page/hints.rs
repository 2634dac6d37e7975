//! What to do about a problem, as the page says it: its fields and the job's keys in the place of
//! the options of a command.

use super::fields::{Field, job_key};

/// The options that hints name, and the fields they fill.
const OPTIONS: [(&str, &str); 17] = [
    ("--bit", "bits"),
    ("--clear", "machine.clear"),
    ("--end-mill", "machine.end-mill"),
    ("--feed", "machine.feed"),
    ("--goes-on", "edges.goes-on"),
    ("--known-height", "outline.known-height"),
    ("--known-width", "outline.known-width"),
    ("--layer", "outline.layers"),
    ("--make", "make"),
    ("--plunge", "machine.plunge"),
    ("--ppi", "outline.ppi"),
    ("--rpm", "machine.rpm"),
    ("--template-moves", "template.moves"),
    ("--template-thick", "template.thick"),
    ("--thick", "thick"),
    ("--true-edges", "edges.true"),
    ("--units", "drawn-in"),
];

/// The options that hints name, and the job's keys for what they say.
pub fn options_of_hints() -> impl Iterator<Item = (&'static str, &'static str)> {
    OPTIONS.into_iter().map(|(option, key)| (option, job_key(key)))
}

/// A hint with the words of these fields, and the job's keys where there is no field.
pub(super) fn on_page(hint: &str, fields: &[Field]) -> String {
    let hint = hint.replace("`spelch bits` lists them", "the row of bits shows them");
    let words: Vec<String> = hint
        .split('`')
        .enumerate()
        .map(|(index, words)| match (index % 2 == 1).then(|| of_option(words, fields)) {
            None => words.to_owned(),
            Some(None) => format!("`{words}`"),
            Some(Some(said)) => said,
        })
        .collect();
    words.concat()
}

/// An option as the page calls it: “Thick”, “How many: 1”, `bits = ["1/2in pattern"]`.
fn of_option(words: &str, fields: &[Field]) -> Option<String> {
    let (option, value) = words.split_once(' ').unwrap_or((words, ""));
    let (_, key) = OPTIONS.iter().find(|(known, _)| *known == option)?;
    let field = fields.iter().find(|field| field.key == *key);
    Some(match (field, value) {
        (Some(field), "") => format!("“{}”", field.label),
        (Some(field), value) => format!("“{}: {value}”", field.label),
        (None, "") => format!("`{}`", job_key(key)),
        (None, value) => {
            let value = format!("\"{}\"", value.trim_matches('"'));
            let value = if *key == "bits" { format!("[{value}]") } else { value };
            format!("`{} = {value}`", job_key(key))
        }
    })
}

#[cfg(test)]
mod tests {
    use super::super::fields::fields;
    use super::*;

    #[test]
    fn the_page_says_its_own_words_for_an_option() {
        let svg = "[outline]\ndrawing = \"a.svg\"\n";
        let dxf = "[outline]\ndrawing = \"a.dxf\"\n";
        for (job, hint, said) in [
            (svg, "measure it and give `--thick`", "measure it and give “Thick”"),
            (svg, "at least one: `--make 1`", "at least one: “How many: 1”"),
            (svg, "take it off `--true-edges`", "take it off `edges.true`"),
            (svg, "or `--units mm`, `1/2in`", "or `units = \"mm\"`, `1/2in`"),
            (dxf, "or `--units mm`", "or “Drawn in: mm”"),
            (svg, "like `--bit \"1/2in pattern\"`", "like `bits = [\"1/2in pattern\"]`"),
            (svg, "and `spelch bits` lists them", "and the row of bits shows them"),
        ] {
            assert_eq!(on_page(hint, &fields(job)), said);
        }
    }
}
