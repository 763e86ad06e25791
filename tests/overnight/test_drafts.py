"""Drafts of e-mails by the standards: what each says, and what no name or address can do to it."""

import email
import mailbox
import re
from email import policy
from html.parser import HTMLParser
from pathlib import PurePosixPath

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from racecalc import daybook, digest, words
from racecalc.overnight.drafts import (
    CAUTIONS,
    Ended,
    Entry,
    Letter,
    address_of,
    draft,
    names_apart,
    one_line,
)

PDF = b"%PDF-1.7\n" + bytes(range(256)) * 40
ODD_NAMES = (
    "Owen <b>Owner</b> & \"Sons\", 'Ltd'; =?utf-8?q?x?= (a) [b] \\ @c:",
    "<script>alert(1)</script>",
    "שָׁלוֹם عَرَبِي",
    "🐎🏇🏽👩‍👧 Pony",
    "Zoë Ærøskøbing",
    "Bcc: thief@elsewhere.example",
    "=?utf-8?q?=0D=0ABcc:_thief@elsewhere.example?=",
    "= =?utf-8?b?DQpCY2M6IHhAeS5leGFtcGxl?=",
    "Very " * 60 + "Long",
    "x" * 5_000,
    "é" * 2_000,
    "../../etc/passwd",
    "con",
    "%0d%0aBcc: x@y.example {{ 7 * 7 }} {% raw %}",
    "\r\nBcc: thief@elsewhere.example\r\n\r\nbody",
    "\u202efdp.exe",
    "nul\x00l \ud800 \u2028 end",
)
# What the names of people, horses and barns can be, and what plain data can be besides.
NAMES = st.one_of(st.sampled_from(ODD_NAMES), st.text(max_size=120))


@pytest.fixture(scope="module")
def paper(tmp_path_factory):
    path = tmp_path_factory.mktemp("paper") / "report.pdf"
    path.write_bytes(PDF)
    return path


def entry(paper, name="Larder Drizzle", **changed):
    plain = {
        "name": one_line(name) or "id",
        "file": "larder-drizzle",
        "share": "60 %",
        "day": "31 October",
        "summary": "She worked twice in October. She stands 16.1½ hands.",
        "paper": paper,
    }
    return Entry(**{**plain, **changed})


def letter(*entries, **changed):
    plain = {
        "barn": "Sedge Ladder Stable",
        "trainer": "Ottilie Marlpit",
        "language": "en",
        "owner": "Juna Barrowmead",
        "address": "juna@barrowmead.example",
        "key": "2026-10",
        "month": "October 2026",
        "entries": entries,
        "ended": (),
    }
    return Letter(**{**plain, **changed})


def parsed(content):
    return email.message_from_bytes(content, policy=policy.default)


def body(message, kind):
    return message.get_body((kind,)).get_content().replace("\r\n", "\n")


def attachments(message):
    return [part.get_filename() for part in message.iter_attachments()]


def defects(message):
    return [defect for part in message.walk() for defect in part.defects]


class Page(HTMLParser):
    """The tags, attributes and words of an HTML body."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.words = set(), set(), ""
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}

    def handle_data(self, data):
        self.words += data


class TestMessage:
    def test_headers_are_those_of_a_draft(self, paper):
        """RFC 5322: who sends it writes From, Date and Message-ID; one more header opens it."""
        message = parsed(draft(letter(entry(paper), entry(paper, "Colander Fog"))))
        assert dict(message.items()) == {
            "X-Unsent": "1",
            "To": "juna@barrowmead.example",
            "Subject": "October 2026: Larder Drizzle and Colander Fog",
            "MIME-Version": "1.0",
            "Content-Type": message["Content-Type"],
        }

    def test_parts_are_alternatives_and_attachments(self, paper):
        """RFC 2046: the plain text comes first in multipart/alternative."""
        message = parsed(draft(letter(entry(paper), entry(paper, "Colander Fog"))))
        assert [part.get_content_type() for part in message.walk()] == [
            "multipart/mixed",
            "multipart/alternative",
            "text/plain",
            "text/html",
            "application/pdf",
            "application/pdf",
        ]
        assert not defects(message)
        assert [part.get_content() for part in message.iter_attachments()] == [PDF, PDF]
        assert {part.get_content_disposition() for part in message.iter_attachments()} == {
            "attachment"
        }
        assert attachments(message) == ["2026-10 Larder Drizzle.pdf", "2026-10 Colander Fog.pdf"]

    def test_it_is_all_of_seven_bits_in_short_lines_that_end_in_crlf(self, paper):
        """RFC 5322, 2.1.1 and 2.3, and RFC 2045, 6.7 and 6.8."""
        content = draft(letter(entry(paper, "Zoë 🐎"), owner="שָׁלוֹם", barn="Æ" * 50))
        assert content.isascii()
        assert content.count(b"\n") == content.count(b"\r\n") == content.count(b"\r")
        assert max(map(len, content.split(b"\r\n"))) <= 78

    def test_the_same_letter_makes_the_same_bytes(self, paper, tmp_path):
        again = tmp_path / "elsewhere.pdf"
        again.write_bytes(PDF)
        assert draft(letter(entry(paper))) == draft(letter(entry(again)))

    def test_boundaries_follow_from_the_content(self, paper, tmp_path):
        """RFC 2046, 5.1.1: no longer than 70, and in nothing that they part."""
        other = tmp_path / "other.pdf"
        other.write_bytes(PDF + b".")
        found = [
            {part.get_boundary() for part in parsed(content).walk()} - {None}
            for content in (draft(letter(entry(paper))), draft(letter(entry(other))))
        ]
        assert len(found[0] | found[1]) == 4
        assert all(len(boundary) <= 70 and "=_" in boundary for boundary in found[0])

    def test_a_text_that_looks_like_a_boundary_is_none(self, paper):
        first = draft(letter(entry(paper, summary="--=_0_")))
        message = parsed(first)
        lure = f"--{message.get_boundary()}--"
        again = parsed(draft(letter(entry(paper, summary=f"{lure} --=_0_"))))
        assert lure in body(again, "plain")
        assert len(list(again.iter_attachments())) == 1

    def test_to_nobody_where_no_address_is_known(self, paper):
        assert "To" not in parsed(draft(letter(entry(paper), address=None)))

    def test_without_a_report_there_is_nothing_attached(self, paper):
        ended = letter(ended=(Ended("Hoarfrost Ladle", "17 October"),))
        message = parsed(draft(ended))
        assert message.get_content_type() == "multipart/alternative"
        assert message["Subject"] == "October 2026: Hoarfrost Ladle"
        for kind in ("plain", "html"):
            text = body(message, kind)
            assert "attached" not in text.casefold()
            assert "ended on 17 October. Ask the trainer for the record up to then." in text

    def test_a_report_that_is_gone_is_an_error(self, paper):
        with pytest.raises(FileNotFoundError):
            draft(letter(entry(paper.with_name("gone.pdf"))))


class TestWords:
    @pytest.mark.parametrize(
        ("count", "said"),
        [
            (1, "October 2026: A"),
            (2, "October 2026: A and B"),
            (3, "October 2026: A, B and C"),
            (4, "October 2026: A, B and two more"),
            (26, "October 2026: A, B and 24 more"),
        ],
    )
    def test_a_subject_names_a_few_horses_and_counts_the_rest(self, paper, count, said):
        horses = [entry(paper, chr(65 + number)) for number in range(count)]
        assert parsed(draft(letter(*horses)))["Subject"] == said

    def test_both_parts_say_the_same(self, paper):
        message = parsed(draft(letter(entry(paper), ended=(Ended("Colander Fog", "3 October"),))))
        plain = body(message, "plain")
        page = Page(body(message, "html")).words
        page = page.replace("October 2026: Larder Drizzle", "", 1)  # its title
        assert page.replace(",\n", ", ").split() == plain.split()
        for said in ("Dear Juna Barrowmead,", "your share 60 %, as of 31 October", *CAUTIONS):
            assert said in plain
        assert plain.endswith("\n\nOttilie Marlpit\nSedge Ladder Stable\n")

    def test_what_is_not_known_is_not_said(self, paper):
        message = parsed(draft(letter(entry(paper), owner="", barn="", trainer="")))
        plain = body(message, "plain")
        assert plain.startswith("Here is October 2026, in short; the full report is attached.\n")
        assert "Dear" not in body(message, "html")

    def test_html_has_inline_styles_only_and_asks_for_nothing(self, paper):
        page = Page(body(parsed(draft(letter(entry(paper)))), "html"))
        assert page.tags == {
            "html", "head", "meta", "title", "body", "div", "p", "h2", "bdi",
        }  # fmt: skip
        assert page.attributes <= {"lang", "charset", "style", "dir"}

    def test_cautions_are_those_of_the_reports(self, sample_book):
        record = daybook.slice_for(daybook.read(sample_book), "larder-drizzle")
        said = words.cautions(digest.build(record, "2026-10")).paragraphs
        mine = " ".join(CAUTIONS).replace("A report tells", "This report tells", 1)
        assert mine == " ".join(said)


class TestOddNames:
    @pytest.mark.parametrize("name", ODD_NAMES)
    def test_every_reader_sees_one_file_of_one_name(self, paper, name, tmp_path):
        """RFC 2231: readers of both of Python's policies, and of an mbox, agree on it."""
        content = draft(letter(entry(paper, name), owner=one_line(name), barn=one_line(name)))
        box = mailbox.mbox(tmp_path / "box")
        box.add(content)
        (modern,) = attachments(parsed(content))
        for message in (email.message_from_bytes(content), box[0]):
            assert [part.get_filename() for part in message.walk()][-1] == modern
        box.close()
        assert PurePosixPath(modern).name == modern
        assert not set(modern) & set('<>:"/\\|?*\r\n\x00\u202e')
        assert modern.startswith("2026-10 ")
        assert modern.endswith(".pdf")
        assert len(modern.encode()) <= 200

    @settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(name=NAMES, owner=NAMES, barn=NAMES, summary=NAMES)
    def test_no_text_adds_a_header_a_part_or_a_tag(self, paper, name, owner, barn, summary):
        clean = [one_line(text) for text in (name, owner, barn, summary)]
        horse = entry(paper, clean[0], summary=clean[3])
        content = draft(letter(horse, owner=clean[1], barn=clean[2]))
        message = parsed(content)
        assert message.keys() == ["X-Unsent", "To", "Subject", "MIME-Version", "Content-Type"]
        assert message["Subject"] == f"October 2026: {horse.name}"
        assert message["To"] == "juna@barrowmead.example"
        assert [part.get_content_type() for part in message.walk()] == [
            "multipart/mixed", "multipart/alternative", "text/plain", "text/html",
            "application/pdf",
        ]  # fmt: skip
        assert not defects(message)
        assert max(map(len, content.split(b"\r\n"))) <= 998
        page = Page(body(message, "html"))
        assert not page.tags & {"script", "b", "i", "img", "a"}
        for text in clean:
            assert text in body(message, "plain")
            assert text in page.words

    def test_two_horses_of_one_name_have_two_files(self, paper):
        horses = [entry(paper, name) for name in ("Fog", "FOG", "Fog")]
        files = attachments(parsed(draft(letter(*horses))))
        assert files == ["2026-10 Fog.pdf", "2026-10 FOG_.pdf", "2026-10 Fog__.pdf"]


class TestAddress:
    @pytest.mark.parametrize(
        "address",
        [
            "juna@barrowmead.example",
            "o'hara+horses@a-b.example",
            "a" * 64 + "@" + ".".join(["b" * 60] * 3) + ".ex",
        ],
    )
    def test_an_address_of_dot_atoms_is_written_as_it_is(self, paper, address):
        """RFC 5322, 3.4.1."""
        assert address_of(address) == address
        (to,) = parsed(draft(letter(entry(paper), address=address)))["To"].addresses
        assert to.addr_spec == address

    @pytest.mark.parametrize(
        "address",
        [
            "",
            "nobody",
            "zoë@stable.example",
            "juna@straße.example",
            'a"b@c.example',
            "a@b.example\r\nBcc: thief@elsewhere.example",
            "a@b.example\n",
            "a:b@c.example",
            ".a@b.example",
            "a..b@c.example",
            "a(c)@b.example",
            "a" * 250 + "@b.example",
        ],
    )
    def test_any_other_is_left_to_the_barn(self, address):
        """RFC 5321, 4.5.3.1.3, for the length."""
        assert address_of(address) is None

    @given(st.text(max_size=60))
    def test_what_is_taken_is_one_address_to_every_reader(self, text):
        if address_of(text):
            message = email.message_from_string(f"To: {text}\n\n", policy=policy.default)
            assert [to.addr_spec for to in message["To"].addresses] == [text]


class TestNamesApart:
    def test_a_name_that_can_stand_does(self):
        assert names_apart(["b", "a", "A-1"]) == ["b", "a", "A-1"]

    @pytest.mark.parametrize("device", ["con", "PRN", "Aux", "nul", "COM1", "lpt9", "com¹"])
    def test_no_file_is_a_device(self, device):
        assert names_apart([device]) == [f"{device}_"]

    def test_capitals_and_codings_tell_nothing_apart(self):
        assert names_apart(["FOG", "fog", "fog_", "é", "e\u0301", "ﬁn", "fin"]) == [
            "FOG", "fog_", "fog__", "é", "e\u0301_", "ﬁn", "fin_",
        ]  # fmt: skip

    def test_a_name_that_is_taken_is_left_to_the_taker(self):
        assert names_apart(["Index", "indexes"], ["index"]) == ["Index_", "indexes"]

    @given(st.lists(st.text(st.sampled_from("aA_éÉ1¹"), min_size=1, max_size=3), max_size=12))
    def test_no_two_are_alike_and_each_begins_as_it_was(self, names):
        apart = names_apart(names)
        assert len({name.upper() for name in apart}) == len(names)
        assert all(re.fullmatch(f"{re.escape(a)}_*", b) for a, b in zip(names, apart, strict=True))
