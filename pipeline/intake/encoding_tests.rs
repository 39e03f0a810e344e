use super::*;

fn detected(bytes: &[u8]) -> (&'static str, f32) {
    let survey = Survey::of(bytes, |_| {}).unwrap();
    let chosen = detect(&survey);
    (chosen.guess.label, chosen.guess.confidence)
}

fn in_encoding(label: &str, text: &str) -> Vec<u8> {
    let encoding = Encoding::for_label(label.as_bytes()).unwrap();
    encoding.encode(text).0.into_owned()
}

fn utf16(text: &str, big_endian: bool) -> Vec<u8> {
    text.encode_utf16()
        .flat_map(|unit| {
            if big_endian {
                unit.to_be_bytes()
            } else {
                unit.to_le_bytes()
            }
        })
        .collect()
}

const GERMAN: &str = "Artikel;Bezeichnung;Preis\n1001;Lüfterhaube für Rasenmäher;12,50\n1002;Rückholfeder, groß;3,90\n";
const POLISH: &str = "Indeks;Nazwa;Cena\n1001;Rozrusznik ręczny kompletny, żółty;45,00\n1002;Sprężyna zwrotna do szarpaka, mała;9,90\n1003;Osłona wentylatora pomalowana na czarno, późniejsza wersja;30\n";
const RUSSIAN: &str =
    "Артикул;Наименование;Цена\n1001;Стартер ручной в сборе для двигателя;450,00\n1002;Пружина возвратная;90\n";
const CHINESE: &str = "货号,品名,单价\n1001,汽油机拉盘 启动器总成,18.50\n1002,风扇罩 适用机型,12.00\n";
const JAPANESE: &str = "品番,品名,価格\n1001,リコイルスターター アッセンブリ,1800\n1002,ファンカバー(黒)です,1200\n";

#[test]
fn marks_decide_at_once() {
    assert_eq!(detected("\u{FEFF}sku;price\n".as_bytes()).0, "UTF-8");
    let mut bytes = vec![0xFF, 0xFE];
    bytes.extend(utf16("sku;price\n", false));
    assert_eq!(detected(&bytes), ("UTF-16LE", 1.0));
}

#[test]
fn utf16_is_known_without_its_mark() {
    assert_eq!(detected(&utf16(GERMAN, false)).0, "UTF-16LE");
    assert_eq!(detected(&utf16(GERMAN, true)).0, "UTF-16BE");
    assert_eq!(detected(&utf16(CHINESE, false)).0, "UTF-16LE");
}

#[test]
fn utf8_survives_a_stray_byte() {
    let mut bytes = GERMAN.as_bytes().to_vec();
    bytes.extend(b"1003;Seil 5 \xB0;1,00\n");
    assert_eq!(detected(&bytes).0, "UTF-8");
}

#[test]
fn western_central_and_eastern_lists_are_told_apart() {
    assert_eq!(detected(&in_encoding("windows-1252", GERMAN)).0, "windows-1252");
    assert!(matches!(
        detected(&in_encoding("windows-1250", POLISH)).0,
        "windows-1250"
    ));
    assert!(matches!(detected(&in_encoding("iso-8859-2", POLISH)).0, "ISO-8859-2"));
    assert_eq!(detected(&in_encoding("windows-1251", RUSSIAN)).0, "windows-1251");
    let euro = in_encoding(
        "iso-8859-15",
        "Réf;Prix\n1001;12,50 €\n1002;15,00 €\nDémarreur complété;3 €\n",
    );
    assert_eq!(detected(&euro).0, "ISO-8859-15");
}

#[test]
fn a_euro_sign_by_a_digit_and_the_long_vowels_of_hungarian_are_told() {
    let list: String = (0..15).map(|n| format!("R{n};Lanceur cœur {n};{n},90 €\n")).collect();
    assert_eq!(
        detected(&in_encoding("iso-8859-15", &format!("réf;désignation;prix\n{list}"))).0,
        "ISO-8859-15"
    );
    let list: String = (0..15)
        .map(|n| format!("K{n};Berántó fűkaszához, őrző gyűrű {n};{n},90\n"))
        .collect();
    assert_eq!(detected(&in_encoding("windows-1250", &list)).0, "windows-1250");
    // French has û and German ö, neither has both
    let french: String = (0..15)
        .map(|n| format!("R{n};Coûte la même pièce, août {n};{n},90\n"))
        .collect();
    assert_eq!(detected(&in_encoding("windows-1252", &french)).0, "windows-1252");
}

#[test]
fn chinese_and_japanese_lists_are_told_apart() {
    assert_eq!(detected(&in_encoding("gb18030", CHINESE)).0, "gb18030");
    assert_eq!(detected(&in_encoding("shift_jis", JAPANESE)).0, "Shift_JIS");
}

#[test]
fn one_letter_is_read_as_the_most_usual_encoding_has_it() {
    assert_eq!(detected(b"codice|disponibile\r\n1|s\xEC\r\n2|no\r\n").0, "windows-1252");
}

#[test]
fn few_letters_leave_doubt() {
    let (_, confidence) = detected(b"sku;price\nA\xFC1;2\n");
    assert!(confidence < 0.8, "{confidence}");
    assert_eq!(detected(b"sku;price\n").1, 1.0);
}
