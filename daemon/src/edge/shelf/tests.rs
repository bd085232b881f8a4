use super::{Shelf, ShelfError, is_plain};
use pullmark_schema::canonical::Digest32;

fn hash(text: &str) -> Digest32 {
    Digest32::of(text.as_bytes())
}

#[test]
fn a_name_leads_nowhere_but_into_the_folder() {
    for good in [
        "a.toml",
        "Allroad-54.v2.toml",
        "0.toml",
        "ferry_tourer.toml",
    ] {
        assert!(is_plain(good), "{good}");
    }
    let long = format!("{}.toml", "a".repeat(76));
    for bad in [
        "",
        ".toml",
        "..toml",
        "../a.toml",
        "a/b.toml",
        "a\\b.toml",
        "a..toml",
        "a..b.toml",
        ".a.toml",
        "-a.toml",
        "a.txt",
        "a.toml ",
        "a b.toml",
        "a\n.toml",
        "a\0.toml",
        "ä.toml",
        "a.toml/",
        "/a.toml",
        "C:a.toml",
        "a.TOML",
        &long,
    ] {
        assert!(!is_plain(bad), "{bad:?}");
    }
}

#[test]
fn a_plan_is_kept_and_never_written_over_unseen() {
    let folder = tempfile::tempdir().unwrap();
    let shelf = Shelf::new(folder.path().join("plans"), None);
    assert!(shelf.list().unwrap().plans.is_empty(), "no folder yet");
    let kept = |name: &str, before, text: &str| shelf.keep(name, before, |_| text.to_owned());
    kept("a.toml", None, "one").unwrap();
    assert_eq!(shelf.read("a.toml").unwrap(), "one");
    assert!(matches!(
        kept("a.toml", None, "two"),
        Err(ShelfError::Taken(_))
    ));
    assert!(matches!(
        kept("a.toml", Some(hash("other")), "two"),
        Err(ShelfError::Changed(_))
    ));
    assert!(
        matches!(
            kept("b.toml", Some(hash("one")), "two"),
            Err(ShelfError::Changed(_))
        ),
        "it was taken away"
    );
    assert_eq!(shelf.read("a.toml").unwrap(), "one");
    kept("a.toml", Some(hash("one")), "two").unwrap();
    assert_eq!(shelf.read("a.toml").unwrap(), "two");
    let names: Vec<_> = std::fs::read_dir(shelf.folder())
        .unwrap()
        .map(|file| file.unwrap().file_name())
        .collect();
    assert_eq!(names, ["a.toml"], "nothing is left beside it");
}

#[test]
fn no_link_is_followed_and_no_odd_file_is_given_out() {
    let folder = tempfile::tempdir().unwrap();
    let secret = folder.path().join("secret");
    std::fs::write(&secret, "secret").unwrap();
    let plans = folder.path().join("plans");
    std::fs::create_dir(&plans).unwrap();
    std::os::unix::fs::symlink(&secret, plans.join("link.toml")).unwrap();
    std::fs::create_dir(plans.join("folder.toml")).unwrap();
    std::fs::write(plans.join("odd name.toml"), "x").unwrap();
    std::fs::write(plans.join("bytes.toml"), [0xff, 0xfe]).unwrap();
    std::fs::write(plans.join("notes.txt"), "x").unwrap();
    std::fs::write(plans.join("good.toml"), "title = \"x\"").unwrap();
    let shelf = Shelf::new(plans, None);
    let listed = shelf.list().unwrap();
    assert_eq!(
        listed.plans,
        [("good.toml".to_owned(), "title = \"x\"".to_owned())]
    );
    let not_used: Vec<&str> = listed
        .not_used
        .iter()
        .map(|file| file.name.as_str())
        .collect();
    assert_eq!(
        not_used,
        ["bytes.toml", "folder.toml", "link.toml", "odd name.toml"]
    );
    assert!(matches!(
        shelf.read("link.toml"),
        Err(ShelfError::NotThere(_))
    ));
    let kept = shelf.keep("link.toml", None, |_| "x".to_owned());
    assert!(matches!(kept, Err(ShelfError::Taken(_))), "{kept:?}");
    assert_eq!(std::fs::read_to_string(&secret).unwrap(), "secret");
}

#[test]
fn the_shops_own_templates_join_those_of_the_program_and_a_bad_file_is_told_of() {
    let folder = tempfile::tempdir().unwrap();
    let own = "[[template]]\nid = \"lamp\"\ntitle = \"Lamp\"\ngroup = \"Own\"\norder = 57\n[template.stage]\nid = \"lamp\"\ntitle = \"Lamp\"\n\
        [[template.stage.fastener]]\nid = \"lamp.bolt\"\ntitle = \"Bolt\"\nspec = { upper = \"3 N·m\" }\n";
    std::fs::write(folder.path().join("lamp.toml"), own).unwrap();
    std::fs::write(folder.path().join("bad.toml"), "colour = 1").unwrap();
    let shelf = Shelf::new(folder.path().join("plans"), Some(folder.path().to_owned()));
    let (library, not_used) = shelf.library().unwrap();
    assert_eq!(library.template("lamp").unwrap().title, "Lamp");
    assert_eq!(not_used.len(), 1);
    assert!(
        not_used[0].why.contains("unknown field `colour`"),
        "{not_used:?}"
    );
    let told = || shelf.told.lock().unwrap().len();
    assert_eq!(told(), 1);
    assert_eq!(shelf.library().unwrap().1, not_used, "told of here again");
    assert_eq!(told(), 1, "and in the log once");
    std::fs::write(folder.path().join("bad.toml"), "colour = ").unwrap();
    shelf.library().unwrap();
    assert_eq!(told(), 2, "something else is wrong with it now");
}
