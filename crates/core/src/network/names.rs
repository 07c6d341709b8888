//! The names of the parts.

use crate::id::PartId;

/// One name a part, all in one text: a network of a million parts has a million names.
#[derive(Clone, Default, Debug)]
pub(super) struct Names {
    text: String,
    /// Where each name ends; it begins where the one before ends.
    ends: Vec<u32>,
}

impl Names {
    /// Adds the name of the next part.
    ///
    /// # Panics
    ///
    /// If all names together are longer than 4 GB.
    pub(super) fn push(&mut self, name: &str) {
        self.text.push_str(name);
        let end = u32::try_from(self.text.len());
        self.ends.push(end.expect("names of 4 GB fit in no layout"));
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.ends.len()
    }

    /// The name of a part, if there is one.
    pub(super) fn get(&self, part: PartId) -> Option<&str> {
        let index = part.index();
        let end = *self.ends.get(index)? as usize;
        let start = index
            .checked_sub(1)
            .map_or(0, |before| self.ends[before] as usize);
        Some(&self.text[start..end])
    }

    /// All names with their parts.
    pub(super) fn iter(&self) -> impl Iterator<Item = (PartId, &str)> {
        let parts = (0..self.count()).map(PartId::from_index);
        parts.filter_map(|part| Some((part, self.get(part)?)))
    }

    /// No more names will come.
    pub(super) fn finished(mut self) -> Self {
        self.text.shrink_to_fit();
        self.ends.shrink_to_fit();
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_name_is_found_again() {
        let mut names = Names::default();
        for name in ["quay", "", "Mühle", "line 3"] {
            names.push(name);
        }
        let names = names.finished();
        let all: Vec<&str> = names.iter().map(|(_, name)| name).collect();
        assert_eq!(all, ["quay", "", "Mühle", "line 3"]);
        assert_eq!(names.get(PartId::from_index(2)), Some("Mühle"));
        assert_eq!(names.get(PartId::from_index(4)), None);
    }
}
