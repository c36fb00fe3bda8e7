//! Where the numbers of a binary element lie.

use super::header::{Element, Kind};
use super::number::{Order, whole};

/// How an element is laid out: stretches of single numbers with lists between them.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    order: Order,
    /// Bytes of the single numbers before each list, and the list.
    lists: Vec<(usize, List)>,
    /// Bytes of the single numbers behind the last list.
    behind: usize,
    /// For each property, the stretch that it is in, and where in it. A list has the stretch before it, and its end.
    places: Vec<(usize, usize)>,
}

#[derive(Clone, Copy, Debug)]
struct List {
    count: Kind,
    /// Bytes of one number in it.
    each: usize,
}

/// How far an element reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// It has so many bytes.
    Whole(u64),
    /// It has at least so many, and more than there are.
    Beyond(u64),
    /// It has a list of negative length.
    Negative,
}

impl Layout {
    pub(super) fn of(element: &Element, order: Order) -> Layout {
        let mut layout = Layout { order, lists: Vec::new(), behind: 0, places: Vec::new() };
        for property in &element.properties {
            layout.places.push((layout.lists.len(), layout.behind));
            match property.list {
                None => layout.behind += property.kind.bytes(),
                Some(count) => {
                    let before = std::mem::take(&mut layout.behind);
                    layout.lists.push((before, List { count, each: property.kind.bytes() }));
                }
            }
        }
        layout
    }

    /// Bytes of every element, if all have the same.
    pub(super) fn stride(&self) -> Option<usize> {
        self.lists.is_empty().then_some(self.behind)
    }

    /// How far the element reaches that `bytes` begin with.
    pub(super) fn reach(&self, bytes: &[u8]) -> Reach {
        let mut at = 0_u64;
        for (before, list) in &self.lists {
            at += *before as u64;
            let head = list.count.bytes() as u64;
            let Some(count) = usize::try_from(at).ok().and_then(|at| bytes.get(at..at + head as usize)) else {
                return Reach::Beyond(at + head);
            };
            let Ok(count) = u64::try_from(whole(list.count, self.order, count)) else { return Reach::Negative };
            at += head + count * list.each as u64;
        }
        at += self.behind as u64;
        if at <= bytes.len() as u64 { Reach::Whole(at) } else { Reach::Beyond(at) }
    }

    /// Finds the stretches of the element that `bytes` begin with, which must be whole; its length.
    pub(super) fn stretches(&self, bytes: &[u8], begins: &mut Vec<usize>) -> usize {
        begins.clear();
        let mut begin = 0;
        for (before, list) in &self.lists {
            begins.push(begin);
            let count = whole(list.count, self.order, bytes.get(begin + before..).unwrap_or_default());
            begin += before + list.count.bytes() + count as usize * list.each;
        }
        begins.push(begin);
        begin + self.behind
    }

    /// Where a property is, once the stretches of an element are known: a number, or the head of a list.
    pub(super) fn place(&self, property: usize, begins: &[usize]) -> usize {
        let (stretch, offset) = self.places[property];
        begins[stretch] + offset
    }
}
