//! Compares a text with the one in `tests/golden`. `INSTA_UPDATE=always` writes it anew; the commit says why.

/// Compares.
pub(crate) fn compare(name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("../../golden");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, text));
}
