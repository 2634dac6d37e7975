//! Style sheets: which of their declarations hold for an element.
//!
//! Selectors are read by `simplecss`; only rules that bear on what is read here are kept. What
//! cannot be read and might hide or move a shape is a problem, never dropped.

use std::cell::Cell;
use std::rc::Rc;

use roxmltree::Node;
use simplecss::{AttributeOperator, Element, PseudoClass, Selector};

use super::style::{Declaration, declarations, hides_or_moves};

/// A rule of a sheet.
#[derive(Debug)]
struct Rule<'s> {
    selector: Selector<'s>,
    body: Rc<[Declaration<'s>]>,
}

/// All rules that matter, the weaker before the stronger.
#[derive(Debug, Default)]
pub(super) struct Sheet<'s> {
    rules: Vec<Rule<'s>>,
    /// What is left of the work that may go into matching.
    work: Cell<u64>,
}

/// The most steps spent on matching selectors to elements: some selectors take a time that
/// grows with a power of the depth (measured: this many steps take about a second).
const MOST_WORK: u64 = 50_000_000;

impl<'s> Sheet<'s> {
    /// Reads a sheet without comments; the second part says what cannot be read and matters.
    pub(super) fn read(css: &'s str) -> (Self, Vec<String>) {
        let (mut rules, mut unread) = (Vec::new(), Vec::new());
        for (prelude, body) in blocks(css) {
            if prelude.starts_with('@') {
                if at_rule_matters(prelude, body) {
                    unread.push(prelude.to_owned());
                }
                continue;
            }
            let body = last_of_each(body);
            for text in prelude.split(',').map(str::trim) {
                match Selector::parse(text) {
                    _ if body.is_empty() => {}
                    Some(selector) => rules.push(Rule { selector, body: body.clone() }),
                    None if body.iter().any(|one| hides_or_moves(one.property)) => {
                        unread.push(text.to_owned());
                    }
                    None => {}
                }
            }
        }
        rules.sort_by_cached_key(|rule| rule.selector.specificity());
        (Self { rules, work: Cell::new(MOST_WORK) }, unread)
    }

    /// The declarations that hold for an element, the weaker before the stronger.
    pub(super) fn of<'a>(
        &'a self,
        node: Node<'a, 'a>,
    ) -> impl Iterator<Item = Declaration<'s>> + 'a {
        let element = Seen { node, work: &self.work };
        self.rules
            .iter()
            .take_while(move |_| element.spend())
            .filter(move |rule| rule.selector.matches(&element))
            .flat_map(|rule| rule.body.iter().copied())
    }

    /// Whether the work ran out, so that some rule may have been missed.
    pub(super) fn is_worn_out(&self) -> bool {
        !self.rules.is_empty() && self.work.get() == 0
    }
}

/// The declarations of a body, of each property only the last that holds.
fn last_of_each(body: &str) -> Rc<[Declaration<'_>]> {
    let mut kept: Vec<Declaration<'_>> = Vec::new();
    for next in declarations(body) {
        let (property, important) = (next.property, next.important);
        kept.retain(|one| (one.property, one.important) != (property, important));
        kept.push(next);
    }
    kept.into()
}

/// A sheet's rules as their selectors and bodies; statements without a body have an empty one.
fn blocks(css: &str) -> Vec<(&str, &str)> {
    let (mut found, mut rest) = (Vec::new(), css.trim());
    while !rest.is_empty() {
        let end = rest.find([';', '{']).unwrap_or(rest.len());
        let prelude = rest[..end].trim();
        let (body, after) = if rest[end..].starts_with('{') {
            let length = closing(&rest[end + 1..]);
            (&rest[end + 1..][..length], rest[end + 1..].get(length + 1..).unwrap_or(""))
        } else {
            ("", rest.get(end + 1..).unwrap_or(""))
        };
        if !prelude.is_empty() {
            found.push((prelude, body));
        }
        rest = after.trim_start();
    }
    found
}

/// Where a block ends whose `{` has been passed.
fn closing(text: &str) -> usize {
    let mut depth = 0_usize;
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'{' => depth += 1,
            b'}' if depth == 0 => return at,
            b'}' => depth -= 1,
            _ => {}
        }
    }
    text.len()
}

/// Whether an at-rule might hide or move a shape: it brings in another sheet, or holds rules
/// that would.
fn at_rule_matters(prelude: &str, body: &str) -> bool {
    let is = |name: &str| {
        prelude.get(..name.len()).is_some_and(|head| head.eq_ignore_ascii_case(name))
    };
    if is("@font-face") || is("@page") {
        return false;
    }
    // The names of declarations stand before a colon, at the start or behind `;`, `{` or `}`.
    let names = body.split([';', '{', '}']).filter_map(|part| part.split_once(':'));
    is("@import")
        || names
            .map(|(name, _)| name.trim().to_ascii_lowercase())
            .any(|n| hides_or_moves(&n))
}

/// An element as selectors see it. Each look costs work; when it has run out, nothing matches.
#[derive(Debug, Clone, Copy)]
struct Seen<'a> {
    node: Node<'a, 'a>,
    work: &'a Cell<u64>,
}

impl Seen<'_> {
    fn spend(&self) -> bool {
        let left = self.work.get().saturating_sub(1);
        self.work.set(left);
        0 < left
    }
}

impl Element for Seen<'_> {
    fn parent_element(&self) -> Option<Self> {
        if !self.spend() {
            return None;
        }
        self.node.parent_element().map(|node| Self { node, ..*self })
    }

    fn prev_sibling_element(&self) -> Option<Self> {
        if !self.spend() {
            return None;
        }
        self.node.prev_sibling_element().map(|node| Self { node, ..*self })
    }

    fn has_local_name(&self, name: &str) -> bool {
        self.spend() && self.node.tag_name().name() == name
    }

    fn attribute_matches(&self, name: &str, operator: AttributeOperator<'_>) -> bool {
        let value = self.node.attribute(name);
        self.spend() && value.is_some_and(|value| operator.matches(value))
    }

    fn pseudo_class_matches(&self, class: PseudoClass<'_>) -> bool {
        self.spend()
            && matches!(class, PseudoClass::FirstChild)
            && self.node.prev_sibling_element().is_none()
    }
}
