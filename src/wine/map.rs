//! A small sorted map. The tree of the standard library costs about a kilobyte of code over the
//! wire for every pair of
//! types it is made for; the maps of a wine have a few dozen entries at most, for which a sorted
//! list does as well.

use serde::ser::{Serialize, Serializer};
use std::borrow::Borrow;

/// Keys with their values, in the order of the keys.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Map<K, V>(Vec<(K, V)>);

impl<K, V> Default for Map<K, V> {
    fn default() -> Self {
        Map(Vec::new())
    }
}

impl<K: Ord, V> Map<K, V> {
    /// An empty map.
    pub const fn new() -> Self {
        Map(Vec::new())
    }

    /// Where a key stands, or where it would have to.
    fn place<Q: Ord + ?Sized>(&self, key: &Q) -> Result<usize, usize>
    where
        K: Borrow<Q>,
    {
        self.0.binary_search_by(|(k, _)| k.borrow().cmp(key))
    }

    /// The value of a key.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&V>
    where
        K: Borrow<Q>,
    {
        self.place(key)
            .ok()
            .and_then(|at| self.0.get(at))
            .map(|(_, v)| v)
    }

    /// The value of a key, to change it.
    pub fn get_mut<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<&mut V>
    where
        K: Borrow<Q>,
    {
        self.place(key)
            .ok()
            .and_then(|at| self.0.get_mut(at))
            .map(|(_, v)| v)
    }

    /// Whether a key is there.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.place(key).is_ok()
    }

    /// Puts a value under a key and gives the one that stood there.
    pub fn insert(&mut self, key: K, value: V) -> Option<V> {
        match self.place(&key) {
            Ok(at) => self
                .0
                .get_mut(at)
                .map(|(_, old)| std::mem::replace(old, value)),
            Err(at) => {
                self.0.insert(at, (key, value));
                None
            }
        }
    }

    /// The place of a key, to be filled; one that is not there yet holds `blank`.
    #[allow(clippy::indexing_slicing)] // It stands there now.
    pub fn place_for(&mut self, key: K, blank: V) -> &mut V {
        let at = match self.place(&key) {
            Ok(at) => at,
            Err(at) => {
                self.0.insert(at, (key, blank));
                at
            }
        };
        &mut self.0[at].1
    }

    /// Puts a value under a key that has none yet.
    pub fn insert_new(&mut self, key: K, value: V) {
        if let Err(at) = self.place(&key) {
            self.0.insert(at, (key, value));
        }
    }

    /// Takes a key away and gives its value.
    pub fn remove<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<V>
    where
        K: Borrow<Q>,
    {
        self.place(key).ok().map(|at| self.0.remove(at).1)
    }
}

impl<K, V> Map<K, V> {
    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// How many keys it has.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Keys and values.
    pub fn iter(&self) -> Iter<'_, K, V> {
        self.0.iter().map(|(k, v)| (k, v))
    }

    /// The pair with this number.
    pub fn nth_mut(&mut self, n: usize) -> Option<(&mut K, &mut V)> {
        self.0.get_mut(n).map(|(k, v)| (k, v))
    }

    /// Keys.
    pub fn keys(&self) -> impl Iterator<Item = &K> {
        self.0.iter().map(|(k, _)| k)
    }

    /// Values, in the order of their keys.
    pub fn values(&self) -> impl Iterator<Item = &V> {
        self.0.iter().map(|(_, v)| v)
    }

    /// Values, in the order of their keys.
    pub fn into_values(self) -> impl Iterator<Item = V> {
        self.0.into_iter().map(|(_, v)| v)
    }
}

/// Over the keys and values of a map.
pub type Iter<'a, K, V> =
    std::iter::Map<std::slice::Iter<'a, (K, V)>, fn(&'a (K, V)) -> (&'a K, &'a V)>;

impl<'a, K, V> IntoIterator for &'a Map<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter = Iter<'a, K, V>;
    fn into_iter(self) -> Iter<'a, K, V> {
        self.iter()
    }
}

impl<K, V> IntoIterator for Map<K, V> {
    type Item = (K, V);
    type IntoIter = std::vec::IntoIter<(K, V)>;
    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl<K: Ord, V> FromIterator<(K, V)> for Map<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(pairs: I) -> Self {
        let mut map = Map::new();
        map.extend(pairs);
        map
    }
}

impl<K: Ord, V> Extend<(K, V)> for Map<K, V> {
    fn extend<I: IntoIterator<Item = (K, V)>>(&mut self, pairs: I) {
        for (key, value) in pairs {
            self.insert(key, value);
        }
    }
}

impl<K: Ord, V, const N: usize> From<[(K, V); N]> for Map<K, V> {
    fn from(pairs: [(K, V); N]) -> Self {
        pairs.into_iter().collect()
    }
}

impl<K: Serialize, V: Serialize> Serialize for Map<K, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self)
    }
}

#[cfg(feature = "schema")]
impl<K: schemars::JsonSchema, V: schemars::JsonSchema> schemars::JsonSchema for Map<K, V> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        <std::collections::BTreeMap<K, V>>::schema_name()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        <std::collections::BTreeMap<K, V>>::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::Map;
    use std::collections::BTreeMap;

    #[test]
    fn behaves_as_the_map_of_the_standard_library() {
        let (mut map, mut tree) = (Map::new(), BTreeMap::new());
        // A fixed walk over few keys, so that most acts meet a key that is there.
        let mut n = 7_u32;
        for _ in 0..2000 {
            n = n.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let (key, value) = (format!("k{}", n >> 28), n >> 8 & 0xff);
            match n >> 16 & 3 {
                0 => assert_eq!(map.insert(key.clone(), value), tree.insert(key, value)),
                1 => assert_eq!(map.remove(key.as_str()), tree.remove(key.as_str())),
                2 => {
                    map.insert_new(key.clone(), value);
                    tree.entry(key).or_insert(value);
                }
                _ => assert_eq!(map.get(key.as_str()), tree.get(key.as_str())),
            }
            assert!(
                map.iter().eq(tree.iter())
                    && map.len() == tree.len()
                    && map.keys().eq(tree.keys())
                    && map.values().eq(tree.values())
            );
        }
        assert_eq!(
            serde_json::to_string(&map).ok(),
            serde_json::to_string(&tree).ok()
        );
    }
}
