//! The words of the bench page: every message in every language, none that is not used, nothing said past them, and figures
//! that keep their order in every unit. The check itself is a script, because the page's own modules are what is tried.
#![allow(clippy::expect_used)]

use pullmark_tests::programs::workspace;
use std::process::Command;

#[test]
fn the_page_has_every_word_in_every_language_and_its_figures_keep_their_order() {
    let root = workspace();
    let run = Command::new("node")
        .arg(root.join("tests/page-words.mjs"))
        .arg(&root)
        .output()
        .expect("Node.js is needed: install Debian's package nodejs");
    let said = String::from_utf8_lossy(&run.stdout);
    let wrong = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{said}{wrong}");
    assert!(
        said.contains("messages in 3 languages") && said.contains("pairs of figures"),
        "{said}"
    );
}
