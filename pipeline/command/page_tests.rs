use super::*;

#[test]
fn columns_stand_straight_and_lines_carry_no_blanks_at_their_end() {
    let mut page = Page::default();
    page.table(
        1,
        &[("no", Side::Right), ("name", Side::Left)],
        &[vec!["7".into(), "ax".into()], vec!["12".into(), "b".into()]],
    );
    assert_eq!(page.finish(), " no  name\n  7  ax\n 12  b\n");
}

#[test]
fn a_sentence_is_wrapped_at_eighty_columns() {
    let mut page = Page::default();
    page.sentence(2, &"word ".repeat(40));
    let text = page.finish();
    assert!(text.lines().count() > 2);
    assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
    assert!(text.lines().nth(1).unwrap().starts_with("    word"));
}

#[test]
fn a_text_beside_a_label_is_wrapped_under_itself() {
    let mut page = Page::default();
    page.item(2, "+1.0", &"word ".repeat(30));
    let text = page.finish();
    assert!(text.starts_with("  +1.0  word"));
    assert!(text.lines().nth(1).unwrap().starts_with("        word"));
}

#[test]
fn a_suppliers_escape_sequences_do_nothing() {
    let mut page = Page::default();
    page.sentence(0, "red \u{1b}[31m text\u{202e}");
    page.table(0, &[("x", Side::Left)], &[vec!["a\u{7}\nb".into()]]);
    let text = page.finish();
    assert!(!text.chars().any(|sign| sign.is_control() && sign != '\n'));
    assert!(!text.contains('\u{202e}'));
}

#[test]
fn a_long_word_is_cut_with_a_mark() {
    assert_eq!(cut("abcdefgh", 6), "abc...");
    assert_eq!(cut("abc", 6), "abc");
}

#[test]
fn a_wide_sign_takes_two_columns() {
    let mut page = Page::default();
    page.table(
        0,
        &[("part", Side::Left), ("n", Side::Left)],
        &[
            vec!["手拉启动器".into(), "1".into()],
            vec!["starter".into(), "2".into()],
        ],
    );
    let text = page.finish();
    let columns: Vec<usize> = text.lines().map(|line| line.width()).collect();
    assert_eq!(columns, [13, 13, 13], "{text}");
    assert_eq!(cut("手拉启动器", 8), "手拉...");
    let mut page = Page::default();
    page.sentence(0, &"手拉启动器 ".repeat(20));
    assert!(page.finish().lines().all(|line| line.width() <= WIDTH));
}

#[test]
fn colour_wraps_whole_lines_and_changes_no_word() {
    let look = Look {
        width: 60,
        colour: Colour::On,
    };
    let written = |look: Look| {
        let mut page = Page::of(look);
        page.style(Style::Heading).line("HEADING");
        page.style(Style::Plain).sentence(0, &"word ".repeat(20));
        page.finish()
    };
    let plain = Look {
        colour: Colour::Off,
        ..look
    };
    let coloured = written(look);
    assert!(coloured.starts_with("\u{1b}[1mHEADING\u{1b}[0m\n"));
    assert_eq!(
        coloured.replace("\u{1b}[1m", "").replace("\u{1b}[0m", ""),
        written(plain)
    );
    assert!(written(plain).lines().all(|line| line.width() <= 60));
}
