//! Puts short lists in order. The standard library's sort is made anew for each kind of list, at
//! four kilobytes apiece in the
//! page; lists here have tens of entries, for which inserting one by one does as well.

use std::cmp::Ordering;

/// Sorts in place; equals keep their order.
pub fn sort<T>(list: &mut [T], compare: &mut dyn FnMut(&T, &T) -> Ordering) {
    for end in 1..list.len() {
        let Some((sorted, [new, ..])) = list.split_at_mut_checked(end) else {
            return;
        };
        let at = sorted
            .iter()
            .rposition(|x| compare(x, new) != Ordering::Greater)
            .map_or(0, |i| i + 1);
        if let Some(part) = list.get_mut(at..=end) {
            part.rotate_right(1);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sorts_and_keeps_equals_in_order() {
        let mut list = vec![(3, 'a'), (1, 'b'), (3, 'c'), (2, 'd'), (1, 'e')];
        sort(&mut list, &mut |a, b| a.0.cmp(&b.0));
        assert_eq!(list, [(1, 'b'), (1, 'e'), (2, 'd'), (3, 'a'), (3, 'c')]);
        let mut all: Vec<u64> = (0..200).map(|i| (i * 7919) % 199).collect();
        let mut expected = all.clone();
        expected.sort_unstable();
        sort(&mut all, &mut |a, b| a.cmp(b));
        assert_eq!(all, expected);
        sort::<u8>(&mut [], &mut |a, b| a.cmp(b));
    }
}
