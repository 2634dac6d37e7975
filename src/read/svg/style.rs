//! Styles, as far as they bear on geometry: what hides an element, and what would move it.

use roxmltree::Node;

/// Style properties that would change the geometry, if they were read.
const GEOMETRY: [&str; 14] = [
    "transform",
    "transform-origin",
    "d",
    "x",
    "y",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
    "translate",
    "rotate",
];
/// Style properties that hide elements.
const HIDING: [&str; 2] = ["display", "visibility"];

/// The value of a presentation property: from the `style` attribute, else from its own.
pub(super) fn property<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let styled = node.attribute("style").and_then(|style| {
        declarations(style).filter(|(key, _)| *key == name).last().map(|(_, value)| value)
    });
    styled.or_else(|| node.attribute(name).map(str::trim))
}

/// The first property in an element's `style` that would change the geometry.
pub(super) fn geometry_in_style<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    let style = node.attribute("style")?;
    declarations(style).map(|(key, _)| key).find(|key| GEOMETRY.contains(key))
}

/// The first property in a style sheet that would hide or change what is drawn.
pub(super) fn property_that_matters(sheet: &str) -> Option<&str> {
    if sheet.contains("@import") {
        return Some("@import");
    }
    let bodies = sheet.split('{').skip(1).filter_map(|body| body.split('}').next());
    bodies
        .flat_map(declarations)
        .map(|(key, _)| key)
        .find(|key| GEOMETRY.contains(key) || HIDING.contains(key))
}

fn declarations(style: &str) -> impl Iterator<Item = (&str, &str)> {
    style.split(';').filter_map(|declaration| {
        let (key, value) = declaration.split_once(':')?;
        let value = value.trim().trim_end_matches("!important").trim_end();
        Some((key.trim(), value))
    })
}

#[cfg(test)]
mod tests {
    use super::property_that_matters;

    #[test]
    fn colours_in_a_style_sheet_do_not_matter() {
        let colours = ".a { fill: none; stroke: #000; stroke-width: 1 } path{fill:red}";
        assert_eq!(property_that_matters(colours), None, "only looks");
        assert_eq!(property_that_matters(".b{fill:red;display:none}"), Some("display"));
        assert_eq!(property_that_matters("g { transform: scale(2) }"), Some("transform"));
    }
}
