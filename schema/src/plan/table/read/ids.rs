//! The ids of a table: the stages', those of rows that have none, and that no two are alike.

use super::super::slug;
use crate::plan::LONGEST_ID;
use crate::plan::is_id;
use std::collections::BTreeSet;

/// A stage, as the rows name it.
struct Stage {
    id: String,
    /// Every way in which a row has named it, folded.
    names: Vec<String>,
    /// Its title where that is not its name, folded.
    title: Option<String>,
}

/// Which ids there are. It is told every row before any of them is read, so that a stage's id and a row's never meet.
#[derive(Default)]
pub(super) struct Ids {
    stated: BTreeSet<String>,
    stages: Vec<Stage>,
}

/// A title without what does not tell two apart: capitals, and how many spaces there are.
fn folded(title: &str) -> String {
    let words: Vec<&str> = title.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// The id itself, or with a number where it is taken.
fn unique(base: &str, is_taken: impl Fn(&str) -> bool) -> String {
    let mut number = 1_u32;
    let mut id = base.to_owned();
    while is_taken(&id) {
        number += 1;
        let end = format!("-{number}");
        let kept: String = base.chars().take(LONGEST_ID - end.len()).collect();
        id = kept + &end;
    }
    id
}

/// An id made of a title, or this where nothing of the title is left.
fn made(title: &str, without: &str) -> String {
    let slug = slug(title);
    if slug.is_empty() {
        without.to_owned()
    } else {
        slug
    }
}

impl Ids {
    /// A row states this id.
    pub(super) fn state(&mut self, id: String) {
        self.stated.insert(id);
    }

    /// The id of the stage that a row names: by an id, or by a title. A stage that was not named before is made known.
    pub(super) fn stage(&mut self, named: &str, title: Option<&str>) -> String {
        let name = folded(named);
        let known = self.known_stage(named, &name);
        if let Some(stage) = known.and_then(|at| self.stages.get_mut(at)) {
            if !stage.names.contains(&name) {
                stage.names.push(name);
            }
            return stage.id.clone();
        }
        let base = if is_id(named) {
            named.to_owned()
        } else {
            made(named, "stage")
        };
        let id = unique(&base, |id| self.stated.contains(id) || self.has_stage(id));
        self.stages.push(Stage {
            id: id.clone(),
            names: vec![name],
            title: title.map(folded),
        });
        id
    }

    fn known_stage(&self, named: &str, name: &String) -> Option<usize> {
        let at = |is_it: &dyn Fn(&Stage) -> bool| self.stages.iter().position(is_it);
        let by_name = at(&|stage| stage.names.contains(name));
        if by_name.is_some() {
            return by_name;
        }
        if is_id(named) {
            return at(&|stage| stage.id == named);
        }
        let by_title = at(&|stage| stage.title.as_ref() == Some(name));
        let slug = slug(named);
        // Named by its id so far, and by nothing that could be another title.
        let is_bare = |stage: &Stage| stage.title.is_none() && stage.names == [slug.as_str()];
        by_title.or_else(|| at(&|stage| stage.id == slug && is_bare(stage)))
    }

    fn has_stage(&self, id: &str) -> bool {
        self.stages.iter().any(|stage| stage.id == id)
    }

    /// An id for a row that states none, made of its title.
    pub(super) fn row(&self, title: &str, is_taken: impl Fn(&str) -> bool) -> String {
        let base = made(title, "row");
        unique(&base, |id| is_taken(id) || self.has_stage(id))
    }
}
