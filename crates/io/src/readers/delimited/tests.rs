//! Tables as instruments and spreadsheets write them, and as they should not.

use super::*;
use cornerwork_core::capture::{PlatePlace, Sampling};
use cornerwork_core::note::Note;
use proptest::prelude::*;

fn force_with(
    text: &[u8],
    columns: &str,
    rate_hz: Option<f64>,
) -> Result<ForceCapture, DelimitedError> {
    let choices = match columns {
        "" => ColumnChoices::default(),
        columns => columns.parse().unwrap(),
    };
    let file = Delimited::open(text, None)?;
    let mapping = file.propose(Wanted::Force, &choices)?;
    file.force(&mapping, rate_hz)
}

fn force(text: &str) -> Result<ForceCapture, DelimitedError> {
    force_with(text.as_bytes(), "", None)
}

fn bar(text: &str) -> Result<BarCapture, DelimitedError> {
    let file = Delimited::open(text.as_bytes(), None)?;
    let mapping = file.propose(Wanted::Position, &ColumnChoices::default())?;
    file.bar(&mapping, None)
}

fn note_ids(notes: &[Note]) -> Vec<&str> {
    notes.iter().map(|note| note.id).collect()
}

/// The same three samples, 1 ms apart, 735.5, 740.25 and 720 N.
fn assert_three_samples(capture: &ForceCapture) {
    let Sampling::Stamps(stamps) = &capture.time else { panic!("no stamps") };
    assert_eq!(stamps[..], [0.0, 0.001, 0.002]);
    assert_eq!(capture.plates.len(), 1);
    assert_eq!(capture.plates[0].vertical_force_n, [735.5, 740.25, 720.0]);
}

#[test]
fn the_same_samples_are_read_however_they_are_written() {
    for text in [
        "time_s,force_n\n0,735.5\n0.001,740.25\n0.002,720\n",
        "time_s,force_n\r\n0,735.5\r\n0.001,740.25\r\n0.002,720\r\n",
        "\u{feff}Time (s);Force (N)\n0;735,5\n0,001;740,25\n0,002;720\n",
        "Time[s]\tGRF[N]\n0.0\t735.5\n0.001\t740.25\n0.002\t720.0",
        "Zeit[ms];Kraft[kN]\n0;0,7355\n1;0,74025\n2;0,72\n",
        "Name: A. Boxer\nTest no. 3\n\nTime,Force\n(s),(N)\n0,735.5\n0.001,740.25\n0.002,720\n\n",
        "t_ms,Fz (N),\n0,735.5,\n1,740.25,\n2,720,\n",
        "\"Time, s\",\"Force, N\"\n\"0\",\"735.5\"\n\"0.001\",\"740.25\"\n\"0.002\",\"720\"\n",
        "\"Time, s\",\"Force, N\"\n\"0\",\"735,5\"\n\"0,001\",\"740,25\"\n\"0,002\",\"720\"\n",
        "  0.000   735.5\n  0.001   740.25\n  0.002   720\n",
        "0,735.5\n.001,740.25\n2e-3,7.2e2\n",
        "clock,Fx,Fy,Fz\n10:00:00.000,1,2,735.5\n10:00:00.001,1,2,740.25\n10:00:00.002,0,0,720\n",
        "time_s,force_n,phase\n0,735.5,stance\n0.001,740.25,stance\n0.002,720,dip\n",
    ] {
        let capture = force(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        let mut capture = capture;
        if let Sampling::Stamps(stamps) = &capture.time {
            let from_first = |s: &f64| ((s - stamps[0]) * 1e6).round() / 1e6;
            capture.time = Sampling::stamps(stamps.iter().map(from_first).collect());
        }
        assert_three_samples(&capture);
    }
}

#[test]
fn plates_are_told_by_side_number_and_name() {
    let places = |text: &str| -> Vec<PlatePlace> {
        force(text).unwrap().plates.iter().map(|plate| plate.place).collect()
    };
    use PlatePlace::{Box, Left, Right, Whole};
    let rows = "0,1,2\n.1,1,2\n.2,1,2\n";
    assert_eq!(places(&format!("time_ms,left,right\n{rows}")), [Left, Right]);
    assert_eq!(places(&format!("time_ms,Fz_R (N),Fz_L (N)\n{rows}")), [Left, Right]);
    assert_eq!(places(&format!("time_ms,Kraft rechts,Kraft links\n{rows}")), [Left, Right]);
    assert_eq!(places(&format!("time_ms,Fz1,Fz2\n{rows}")), [Whole, Whole]);
    assert_eq!(places(&format!("time_ms,box force,floor force\n{rows}")), [Whole, Box]);
    let rows = "0,1,2,3\n.1,1,2,3\n.2,1,2,3\n";
    let with_total = force(&format!("time_ms,left,right,total force\n{rows}")).unwrap();
    assert_eq!(with_total.plates.len(), 2);
    assert!(note_ids(&with_total.notes).contains(&"total-not-used"));
    assert_eq!(places(&format!("time_ms,Force 1,Force 2,Total force\n{rows}")), [Whole]);
    assert_eq!(places(&format!("time_ms,Force_X,Force_Y,Force_Z\n{rows}")), [Whole]);
}

#[test]
fn columns_can_be_chosen_by_name_number_and_unit() {
    let text = "uhr,a,b\n0,1,2\n1,3,4\n2,5,6\n";
    let capture = force_with(text.as_bytes(), "time=UHR:ms,left=b:kN,right=2", None).unwrap();
    assert_eq!(capture.time, Sampling::stamps(vec![0.0, 0.001, 0.002]));
    assert_eq!(capture.plates[0].vertical_force_n, [2000.0, 4000.0, 6000.0]);
    assert_eq!(capture.plates[1].vertical_force_n, [1.0, 3.0, 5.0]);
    assert!(matches!(
        force_with(text.as_bytes(), "force=c", None),
        Err(DelimitedError::UnknownColumn { .. })
    ));
    assert!(matches!(
        force_with(text.as_bytes(), "force=a:cm", None),
        Err(DelimitedError::WrongUnit { .. })
    ));
    for wrong in ["a", "thrust=a", "force=", ""] {
        assert!(wrong.parse::<ColumnChoices>().is_err(), "{wrong}");
    }
}

#[test]
fn a_proposal_can_be_given_back_as_choices() {
    let text = "Time[s]\tGRF[N]\n0\t1\n1\t2\n2\t3\n";
    let file = Delimited::open(text.as_bytes(), None).unwrap();
    let proposal = file.propose(Wanted::Force, &ColumnChoices::default()).unwrap();
    assert_eq!(proposal.as_choices(), "time=Time[s]:s,force=GRF[N]:N");
    let again = file.propose(Wanted::Force, &proposal.as_choices().parse().unwrap()).unwrap();
    assert_eq!(again, proposal);
}

#[test]
fn there_is_never_a_rate_of_our_own() {
    let column = "force_n\n1\n2\n3\n";
    assert!(matches!(force(column), Err(DelimitedError::NoClock)));
    let stated = force_with(column.as_bytes(), "", Some(600.0)).unwrap();
    assert_eq!(stated.time, Sampling::Rate(600.0));
    let header = force("Sampling rate: 450 Hz\nforce_n\n1\n2\n3\n").unwrap();
    assert_eq!(header.time, Sampling::Rate(450.0));
    assert!(note_ids(&header.notes).contains(&"rate-from-header"));
    for hz in [0.0, -1000.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            force_with(column.as_bytes(), "", Some(hz)),
            Err(DelimitedError::ImpossibleRate { .. })
        ));
    }
}

#[test]
fn clocks_that_disagree_are_refused() {
    let rows = "time_s,force_n\n0,1\n0.001,2\n0.002,3\n";
    assert!(force_with(rows.as_bytes(), "", Some(1000.0)).is_ok());
    assert!(matches!(
        force_with(rows.as_bytes(), "", Some(800.0)),
        Err(DelimitedError::RatesDisagree { .. })
    ));
    assert!(force_with(rows.as_bytes(), "time=none", Some(800.0)).is_ok());
    assert_eq!(
        force(&format!("rate 800 Hz\n{rows}")).unwrap_err().to_string(),
        "the time column gives 1000.000000 Hz but the header of the file 800.000000 Hz; correct \
         one, or leave the time column out"
    );
    assert!(force(&format!("rate 1000 Hz\n{rows}")).is_ok());
}

#[test]
fn time_without_a_unit_is_guessed_from_its_steps_or_refused() {
    let with_step = |step: f64| {
        let rows: String = (0..5).map(|i| format!("{},700\n", f64::from(i) * step)).collect();
        force(&format!("time,force_n\n{rows}"))
    };
    let seconds = with_step(0.001).unwrap();
    assert_eq!(note_ids(&seconds.notes), ["guessed-time-unit"]);
    assert!((seconds.time.rate_hz().unwrap() - 1000.0).abs() < 1e-6);
    assert!((with_step(1.0).unwrap().time.rate_hz().unwrap() - 1000.0).abs() < 1e-6);
    assert!(matches!(with_step(0.1), Err(DelimitedError::UnclearTimeUnit { .. })));
}

#[test]
fn time_written_too_coarsely_is_refused() {
    let rows: String = (0..50).map(|i| format!("{:.2},700\n", f64::from(i) * 0.001)).collect();
    assert!(matches!(
        force(&format!("time_s,force_n\n{rows}")),
        Err(DelimitedError::CoarseTime { repeated: 44, count: 50 })
    ));
}

#[test]
fn errors_name_the_line() {
    let line = |text: &str| match force(text).unwrap_err() {
        DelimitedError::NotANumber { line, .. }
        | DelimitedError::UnevenRow { line, .. }
        | DelimitedError::MissingValue { line, .. }
        | DelimitedError::AmbiguousComma { line } => line,
        other => panic!("{text}: {other}"),
    };
    let head = "name\n\ntime_s,force_n\n0,1\n0.001,2\n";
    for (row, expected) in [
        ("0.002,NaN\n", 6),
        ("0.002,inf\n", 6),
        ("0.002,0x1p3\n", 6),
        ("0.002,text\n", 6),
        ("0.002\n", 6),
        ("0.002,1,2\n", 6),
        ("0.002,\n0.003,4\n", 6),
        ("0.002,3\n\n0.003,\"4\"5\n", 8),
        ("0.002,1e999\n", 6),
        ("0.00", 6),
    ] {
        assert_eq!(line(&format!("{head}{row}")), expected, "{row}");
    }
    assert_eq!(line("time_s,force_n\n0,NaN\n0.001,1\n0.002,2\n"), 2);
    assert_eq!(line("633,21\n628,46\n640,51\n"), 1);
    let comma = force_with(b"force\n633,21\n628,46\n640,51\n", "", Some(600.0)).unwrap();
    assert_eq!(comma.plates[0].vertical_force_n, [633.21, 628.46, 640.51]);
    let pairs = force_with(b"left,right\n633,21\n628,46\n640,51\n", "", Some(600.0)).unwrap();
    assert_eq!(pairs.plates.len(), 2);
    let told = Delimited::open(&b"633,21\n628,46\n640,51\n"[..], Some(b',')).unwrap();
    assert_eq!(told.layout().columns.len(), 1);
}

#[test]
fn a_column_may_end_early_but_have_no_hole() {
    let capture = force("time_s,left_n,right_n\n0,1,2\n.001,1,2\n.002,1,2\n.003,1,\n").unwrap();
    assert_eq!(capture.plates[0].vertical_force_n.len(), 4);
    assert_eq!(capture.plates[1].vertical_force_n.len(), 3);
}

#[test]
fn what_is_no_table_is_refused() {
    let error = |bytes: &[u8]| force_with(bytes, "", Some(1000.0)).unwrap_err();
    assert!(matches!(error(b""), DelimitedError::Empty));
    assert!(matches!(error(b"\n\r\n  \n"), DelimitedError::Empty));
    assert!(matches!(error(b"no numbers\nat all\n"), DelimitedError::NoRows { .. }));
    assert!(matches!(error(b"\xff\xfe1\0"), DelimitedError::Utf16));
    assert!(matches!(error(b"PK\x03\x04\0\0"), DelimitedError::NotText { at: 4 }));
    assert!(matches!(
        error(b"time_s,rep1,rep2\n0,1,2\n1,2,3\n2,3,4\n"),
        DelimitedError::NoColumn { .. }
    ));
    assert!(matches!(error(b"force A,force B\n1,2\n1,2\n1,2\n"), DelimitedError::Unclear { .. }));
    assert!(matches!(error(b"force_bw\n1\n1\n1\n"), DelimitedError::BodyWeights { .. }));
    let endless: Vec<u8> =
        b"force\n1\n2\n3\n4\n".iter().copied().chain(std::iter::repeat_n(b'7', 3 << 20)).collect();
    assert!(matches!(error(&endless), DelimitedError::LineTooLong { line: 6, .. }));
    assert!(matches!(error(&[b'7'; 1 << 20]), DelimitedError::LineTooLong { line: 1, .. }));
}

#[test]
fn a_position_is_read_in_its_unit_and_refused_when_no_bar_moves_so_far() {
    let metres = bar("time_s,position_cm\n0,0\n.01,50\n.02,62.5\n").unwrap();
    assert_eq!(metres.position_m, [0.0, 0.5, 0.625]);
    assert!(matches!(
        bar("time_s,position\n0,0\n.01,50\n.02,62.5\n"),
        Err(DelimitedError::UnclearLengthUnit { .. })
    ));
    assert!(bar("time_s,position,velocity\n0,0,1\n.01,.5,1\n.02,.6,1\n").is_ok());
}

// Files of an open course: one column at 600 Hz without a heading, and tab-separated with one.
#[test]
fn open_recordings_are_read() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../testdata/open/bmc_jumps/");
    let open = |name: &str| std::fs::read(format!("{folder}{name}")).unwrap();
    let jump = force_with(&open("GRFZjump.txt"), "", Some(600.0)).unwrap();
    let lines = String::from_utf8(open("GRFZjump.txt")).unwrap();
    let standard: Vec<f64> = lines.lines().map(|line| line.trim().parse().unwrap()).collect();
    assert_eq!(jump.plates[0].vertical_force_n, standard);
    let jump = force_with(&open("jump1.txt"), "", None).unwrap();
    assert!((jump.time.rate_hz().unwrap() - 450.0).abs() < 1e-6);
    let lines = String::from_utf8(open("jump1.txt")).unwrap();
    let standard: Vec<f64> = lines
        .lines()
        .skip(1)
        .map(|line| line.split('\t').nth(1).unwrap().trim().parse().unwrap())
        .collect();
    assert_eq!(jump.plates[0].vertical_force_n, standard);
}

/// How a table is written out in the test below.
#[derive(Clone, Copy, Debug)]
struct Writing {
    delimiter: char,
    comma: bool,
    line_end: &'static str,
    junk: usize,
    named: bool,
}

fn any_writing() -> impl Strategy<Value = Writing> {
    let spelling = prop_oneof![
        Just(('\t', false)),
        Just(('\t', true)),
        Just((';', false)),
        Just((';', true)),
        Just((',', false)),
    ];
    (spelling, any::<bool>(), 0usize..4, any::<bool>()).prop_map(
        |((delimiter, comma), windows, junk, named)| Writing {
            delimiter,
            comma,
            line_end: if windows { "\r\n" } else { "\n" },
            junk,
            named,
        },
    )
}

fn write(writing: Writing, rows: &[(f64, f64)]) -> String {
    let mut text = String::new();
    let line = |text: &mut String, cells: [String; 2]| {
        *text += &cells.join(&writing.delimiter.to_string());
        *text += writing.line_end;
    };
    for index in 0..writing.junk {
        text += &format!("remark {index} of a person{}", writing.line_end);
    }
    if writing.named {
        line(&mut text, ["time_s".into(), "force_n".into()]);
    }
    let number = |value: f64| {
        let text = format!("{value:?}");
        if writing.comma { text.replace('.', ",") } else { text }
    };
    for &(time, force) in rows {
        line(&mut text, [number(time), number(force)]);
    }
    text
}

proptest! {
    #[test]
    fn what_is_written_comes_back(
        writing in any_writing(),
        forces in prop::collection::vec(-3e4..3e4f64, 4..400),
        rate_hz in prop_oneof![Just(100.0), Just(450.0), Just(1000.0), Just(2000.0)],
    ) {
        let rows: Vec<(f64, f64)> =
            forces.iter().enumerate().map(|(i, force)| (i as f64 / rate_hz, *force)).collect();
        let capture = force(&write(writing, &rows)).unwrap();
        let stamps: Vec<f64> = rows.iter().map(|row| row.0).collect();
        prop_assert_eq!(capture.time, Sampling::stamps(stamps));
        prop_assert_eq!(&capture.plates[0].vertical_force_n, &forces);
    }

    #[test]
    fn pieces_of_any_size_give_the_same(
        forces in prop::collection::vec(-3e3..3e3f64, 10..60),
        piece in 1usize..50,
    ) {
        struct Dribble<'a>(&'a [u8], usize);
        impl Read for Dribble<'_> {
            fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
                let count = self.0.len().min(self.1).min(into.len());
                into[..count].copy_from_slice(&self.0[..count]);
                self.0 = &self.0[count..];
                Ok(count)
            }
        }
        let text: String = forces.iter().map(|force| format!("{force}\n")).collect();
        let file = Delimited::open(Dribble(text.as_bytes(), piece), None).unwrap();
        let mapping = file.propose(Wanted::Force, &ColumnChoices::default()).unwrap();
        let capture = file.force(&mapping, Some(1000.0)).unwrap();
        prop_assert_eq!(&capture.plates[0].vertical_force_n, &forces);
    }

    #[test]
    fn no_bytes_make_it_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = force_with(&bytes, "", Some(1000.0));
    }

    #[test]
    fn no_table_like_text_makes_it_panic(text in "([-+0-9.,;:\t \"\r\na-zA-Z()\\[\\]]){0,300}") {
        let _ = force(&text);
        let _ = bar(&text);
    }
}
