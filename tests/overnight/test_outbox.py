"""Who is told of which horse: by the day of the share, and never of what is another's."""

import email
import json
from dataclasses import replace
from datetime import date, timedelta
from email import policy
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from urllib.parse import unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from racecalc import daybook
from racecalc.errors import OutOfRangeError
from racecalc.overnight import outbox as module
from racecalc.overnight.outbox import (
    Owner,
    Ready,
    Share,
    as_plain,
    outbox,
    owners_from,
    owners_of,
    shares_from,
    shares_of,
)
from tests.daybook.stable import write_book
from tests.report.browser import browser, executable

MONTH = "2026-10"
LAST = date(2026, 10, 31)
BARN = daybook.Barn(name="Sedge Ladder Stable", trainer="Ottilie Marlpit")
QUILL = Owner("quill", "Quentin Quillfeather", "quill@stable.example")
MOTH = Owner("moth", "Mabel Mothersole", "moth@stable.example")


class Paper(PurePosixPath):
    """A report on paper that holds its own name: which one was attached can be told."""

    def read_bytes(self):
        return f"%PDF {self.name}".encode()


class LargePaper(PurePosixPath):
    def read_bytes(self):
        return bytes(15_000_000)


class LostPaper(PurePosixPath):
    def read_bytes(self):
        raise FileNotFoundError(2, "No such file or directory")


def report(horse, name=None, day=LAST, **changed):
    plain = {
        "horse": horse,
        "name": name or f"Name of {horse}",
        "day": day,
        "summary": (f"Sentence of {horse}.", "Second."),
        "page": PurePosixPath(f"made/{horse}/report.html"),
        "paper": Paper(f"made/{horse}.pdf"),
    }
    return Ready(**{**plain, **changed})


def share(owner, horse, percent=100.0, since=None, until=None):
    return Share(owner, horse, percent, since, until)


def sort(shares, ready, owners=(QUILL, MOTH), drafts=False, month=MONTH):
    with TemporaryDirectory() as folder:
        written = Path(folder) if drafts else None
        folders, told = outbox(BARN, month, owners, shares, ready, written)
        for files in folders.values():
            files |= {name: files[name].read_bytes() for name in files if name.endswith(".eml")}
    return folders, told


def page_of(folder):
    return folder["index.html"].decode()


class Words(HTMLParser):
    """The words and the links of a page."""

    def __init__(self, text):
        super().__init__()
        self.said, self.links, self.tags = "", [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.links += [value for name, value in attrs if name == "href"]

    def handle_data(self, data):
        if self.lasttag != "style":
            self.said += data


def words_of(folder):
    return " ".join(Words(page_of(folder)).said.split())


class TestWhoGetsWhat:
    def test_a_report_goes_to_those_who_hold_a_share_on_its_last_day(self):
        shares = [
            share("quill", "fog", 60),
            share("moth", "fog", 40),
            share("moth", "ladle", since=date(2026, 10, 31)),
        ]
        folders, told = sort(shares, [report("fog"), report("ladle")])
        assert {name: sorted(files) for name, files in folders.items()} == {
            "quill": ["fog.html", "fog.pdf", "index.html"],
            "moth": ["fog.html", "fog.pdf", "index.html", "ladle.html", "ladle.pdf"],
        }
        assert folders["moth"]["ladle.html"] == PurePosixPath("made/ladle/report.html")
        assert folders["moth"]["ladle.pdf"] == Paper("made/ladle.pdf")
        assert told == ()

    @pytest.mark.parametrize("day", [LAST, date(2026, 10, 14)])
    @pytest.mark.parametrize(
        ("since", "until", "gets"),
        [(0, None, True), (1, None, False), (None, 0, True), (None, -1, False), (0, 0, True)],
    )
    def test_both_ends_of_a_share_count(self, day, since, until, gets):
        def off(days):
            return None if days is None else day + timedelta(days)

        one = share("quill", "fog", since=off(since), until=off(until))
        folders, _ = sort([one], [report("fog", day=day)])
        assert ("fog.pdf" in folders.get("quill", {})) == gets

    def test_a_share_sold_in_the_month_is_a_line_and_no_report(self):
        sold = [
            share("quill", "fog", until=date(2026, 10, 12)),
            share("moth", "fog", since=date(2026, 10, 13)),
        ]
        folders, told = sort(sold, [report("fog")])
        assert list(folders["quill"]) == ["index.html"]
        said = words_of(folders["quill"])
        assert (
            "Your share in Name of fog ended on 12 October. Ask the trainer for the record up to "
            "then." in said
        )
        assert "Sentence of fog" not in said
        assert not Words(page_of(folders["quill"])).links
        assert told == (
            "quill: the share in fog ended on 2026-10-12, before the last day of its report "
            "(2026-10-31); the folder has a line on it, no report",
        )
        assert "fog.html" in folders["moth"]

    @pytest.mark.parametrize(
        "until", [date(2026, 9, 30), date(2025, 10, 12), date(1980, 1, 1)], ids=str
    )
    def test_a_share_sold_before_is_nothing_to_tell(self, until):
        folders, told = sort([share("quill", "fog", until=until)], [report("fog")])
        assert folders == {}
        assert told == (
            "fog: nobody holds a share on 2026-10-31; its report is in no owner’s folder",
        )

    def test_of_several_that_ended_the_last_is_told(self):
        ended = [share("quill", "fog", 30, until=date(2026, 10, day)) for day in (20, 22, 5)]
        folders, _ = sort(ended, [report("fog")])
        assert "ended on 22 October." in words_of(folders["quill"])

    def test_who_sold_a_part_still_gets_the_report(self):
        part = [share("quill", "fog", 30, until=date(2026, 10, 20)), share("quill", "fog", 20)]
        folders, told = sort(part, [report("fog")])
        assert "your share 20 %" in words_of(folders["quill"])
        assert "ended" not in words_of(folders["quill"])
        assert told == ()

    def test_rows_of_one_owner_add_up(self):
        rows = [share("quill", "fog", percent) for percent in (33.3, 33.3, 0.1)]
        folders, _ = sort(rows, [report("fog")])
        assert "your share 66.7 %" in words_of(folders["quill"])

    @pytest.mark.parametrize(
        ("percent", "said"), [(100, "100 %"), (12.5, "12.5 %"), (100 / 3, "33.3333 %")]
    )
    def test_a_share_has_no_more_digits_than_it_needs(self, percent, said):
        folders, _ = sort([share("quill", "fog", percent)], [report("fog")])
        assert f"your share {said} as of" in words_of(folders["quill"])

    def test_a_horse_without_a_report_is_told_to_the_barn_alone(self):
        shares = [
            share("quill", "fog"),
            share("quill", "lost"),
            share("moth", "old", until=date(2026, 9, 30)),
            share("moth", "new", since=date(2026, 11, 1)),
        ]
        folders, told = sort(shares, [report("fog")])
        assert "lost" not in page_of(folders["quill"])
        assert told == (
            "lost: there is no report of October 2026; its owners are told nothing of it",
        )

    def test_an_owner_without_shares_has_no_folder(self):
        assert sort([], []) == ({}, ())

    def test_a_month_that_is_none_is_refused(self):
        with pytest.raises(OutOfRangeError):
            sort([], [], month="2026-13")


class TestPage:
    def test_it_says_for_whom_of_when_and_from_whom(self):
        horses = [report("a", "Zinc Pail"), report("b", "beta Tub", day=date(2026, 10, 14))]
        folders, _ = sort([share("quill", "a", 60), share("quill", "b")], horses)
        assert words_of(folders["quill"]) == " ".join(
            [
                "Quentin Quillfeather, October 2026 Quentin Quillfeather",
                "your horses at Sedge Ladder Stable October 2026 owner’s reports",
                "beta Tub your share 100 % as of 14 October Sentence of b. Second.",
                "The reportThe report on paper (PDF)",
                "Zinc Pail your share 60 % as of 31 October Sentence of a. Second.",
                "The reportThe report on paper (PDF)",
                "Cautions",
                *module.CAUTIONS,
                "Sedge Ladder Stable · Ottilie Marlpit October 2026",
            ]
        )

    def test_a_record_that_ends_in_another_year_says_so(self):
        folders, _ = sort([share("quill", "fog")], [report("fog", day=date(2025, 12, 3))])
        assert "as of 3 December 2025" in words_of(folders["quill"])

    def test_every_link_is_a_file_of_the_folder(self):
        horses = [report("fog"), report("pferd-ö"), report("馬")]
        folders, _ = sort([share("quill", one.horse) for one in horses], horses)
        links = {unquote(link) for link in Words(page_of(folders["quill"])).links}
        assert links == set(folders["quill"]) - {"index.html"}

    def test_nothing_runs_and_nothing_is_asked_for(self):
        """Content Security Policy, as on the barn's page; no text is read as markup."""
        odd = "<script>alert(1)</script><img src=x onerror=y> {{ 7 * 7 }} \"'&"
        horse = report("fog", odd, summary=(odd, odd))
        owner = Owner("quill", odd, None)
        barn = replace(BARN, name=odd, trainer=odd, language='en"><script>')
        folders, _ = outbox(barn, MONTH, [owner], [share("quill", "fog")], [horse])
        page = page_of(folders["quill"])
        assert "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'" in page
        assert not {"script", "img", "link", "form"} & set(Words(page).tags)
        assert words_of(folders["quill"]).count(odd) == 8
        assert "@import" not in page
        assert "url(" not in page

    def test_no_text_turns_or_breaks_the_lines_around_it(self):
        horse = report("fog", "\u202egof\r\n\x00\ud800")
        folders, _ = sort([share("quill", "fog")], [horse], [Owner("quill", "\u2066 \n", None)])
        assert "your horses" in page_of(folders["quill"]).casefold()
        assert not set(page_of(folders["quill"])) & set("\u202e\u2066\x00\r")

    def test_a_horse_of_no_printable_name_is_called_by_its_id(self):
        folders, _ = sort([share("quill", "fog")], [report("fog", "\u202e\x00")])
        assert "fog your share" in words_of(folders["quill"])


class TestFiles:
    def test_a_horse_called_index_leaves_the_page_in_its_place(self):
        horses = [report("index"), report("INDEX_")]
        folders, _ = sort([share("quill", one.horse) for one in horses], horses)
        names = {name.casefold() for name in folders["quill"]}
        assert len(names) == len(folders["quill"]) == 5
        assert isinstance(folders["quill"]["index.html"], bytes)
        assert set(Words(page_of(folders["quill"])).links) <= set(folders["quill"])

    def test_owners_whose_ids_differ_in_capitals_share_no_folder(self):
        """A file system that does not tell capitals apart would join them."""
        shares = [share("Quill", "fog"), share("quill", "ladle"), share("con", "fog", 0.5)]
        folders, _ = sort(shares, [report("fog"), report("ladle")], drafts=True)
        assert {name: sorted(files)[0] for name, files in folders.items()} == {
            "Quill": "Quill.eml",
            "con_": "con_.eml",
            "quill_": "index.html",
        }
        assert "ladle.pdf" not in folders["Quill"]
        assert "fog.pdf" not in folders["quill_"]


class TestDrafts:
    def draft(self, folders, owner):
        return email.message_from_bytes(folders[owner][f"{owner}.eml"], policy=policy.default)

    def test_each_owner_has_one_on_request(self):
        shares = [share("quill", "fog"), share("quill", "ladle"), share("moth", "fog", 5)]
        horses = [report("fog", "Colander Fog"), report("ladle", "Hoarfrost Ladle")]
        folders, told = sort(shares, horses, drafts=True)
        message = self.draft(folders, "quill")
        assert message["To"] == "quill@stable.example"
        assert message["Subject"] == "October 2026: Colander Fog and Hoarfrost Ladle"
        assert [part.get_content() for part in message.iter_attachments()] == [
            b"%PDF fog.pdf",
            b"%PDF ladle.pdf",
        ]
        assert len(list(self.draft(folders, "moth").iter_attachments())) == 1
        assert told == ()
        again, _ = sort(reversed(shares), reversed(horses), drafts=True)
        assert again == folders
        without, _ = sort(shares, horses)
        assert not [name for files in without.values() for name in files if name.endswith(".eml")]

    @pytest.mark.parametrize(
        ("owner", "said"),
        [
            (None, ["no name in the table of owners", "has no e-mail address"]),
            (replace(QUILL, name=None), ["no name in the table of owners"]),
            (replace(QUILL, name=" "), ["no name in the table of owners"]),
            (replace(QUILL, email=None), ["has no e-mail address"]),
            (replace(QUILL, email="q@ö.example"), ["none that every mail program takes"]),
            (
                replace(QUILL, email="a@b.example\r\nBcc: c@d.example"),
                ["none that every mail program takes"],
            ),
        ],
    )
    def test_what_is_not_known_of_an_owner_is_told_to_the_barn(self, owner, said):
        owners = [owner] if owner else []
        folders, told = sort([share("quill", "fog")], [report("fog")], owners, drafts=True)
        assert len(told) == len(said)
        assert all(part in line for part, line in zip(said, told, strict=True))
        assert all(line.startswith("quill: ") and "\n" not in line for line in told)
        message = self.draft(folders, "quill")
        assert message["Bcc"] is None
        assert ("To" in message) == (owner is not None and owner.email == QUILL.email)
        # A name or an address that is only wanted for a draft is not missed without one.
        _, quiet = sort([share("quill", "fog")], [report("fog")], owners)
        assert len(quiet) == sum("name" in part for part in said)

    def test_a_large_one_is_told_to_the_barn(self):
        horse = report("fog", paper=LargePaper("fog.pdf"))
        folders, told = sort([share("quill", "fog")], [horse], drafts=True)
        assert len(folders["quill"]["quill.eml"]) > 20_000_000
        assert told == (
            "quill: the draft has 21 MB, more than many mail services take (20 MB); send its "
            "reports in several mails",
        )

    def test_a_report_that_cannot_be_read_stops_no_other(self):
        shares = [share("quill", "lost"), share("moth", "fog")]
        horses = [report("lost", paper=LostPaper("lost.pdf")), report("fog")]
        folders, told = sort(shares, horses, drafts=True)
        assert told == ("quill: no draft, for a report cannot be read: No such file or directory",)
        assert "quill.eml" not in folders["quill"]
        assert "moth.eml" in folders["moth"]

    def test_a_share_that_ended_is_in_the_draft_too(self):
        one = share("quill", "fog", until=date(2026, 10, 12))
        folders, _ = sort([one], [report("fog", "Colander Fog")], drafts=True)
        message = self.draft(folders, "quill")
        assert message["Subject"] == "October 2026: Colander Fog"
        text = message.get_body(("plain",)).get_content()
        assert "Your share in Colander Fog ended on 12 October." in text
        assert "Sentence of fog" not in text


OWNERS = tuple(f"owner{letter}" for letter in "abcd")
HORSES = tuple(f"horse{letter}" for letter in "wxyz")
DAYS = st.none() | st.dates(date(2026, 9, 25), date(2026, 11, 5))
SHARES = st.lists(
    st.builds(
        Share,
        st.sampled_from(OWNERS),
        st.sampled_from(HORSES),
        st.sampled_from([12.5, 20.25, 37.75]),
        DAYS,
        DAYS,
    ),
    max_size=12,
)
READY = st.lists(
    st.builds(report, st.sampled_from(HORSES), day=st.dates(date(2026, 9, 28), LAST)),
    unique_by=lambda one: one.horse,
)
PEOPLE = [Owner(one, f"Person {one}", f"{one}@post.example") for one in OWNERS]


def everything(files):
    """All that a folder holds, as text that can be searched, drafts with their parts decoded."""
    said = list(files)
    for content in files.values():
        if isinstance(content, PurePosixPath):
            said.append(str(content))
            continue
        said.append(content.decode())
        message = email.message_from_bytes(content, policy=policy.default)
        for part in message.walk():
            if not part.is_multipart():
                payload = part.get_payload(decode=True)
                said += [payload.decode(errors="replace"), str(part.get_filename())]
    return "\n".join(said)


class TestPrivacy:
    @given(SHARES, READY)
    def test_nothing_of_another_owner_or_of_anothers_horse_is_in_a_folder(self, shares, ready):
        folders, _ = sort(shares, ready, PEOPLE, drafts=True)
        for owner, files in folders.items():
            said = everything(files)
            own = {one.horse for one in shares if one.owner == owner}
            held = {
                one.horse
                for one in ready
                if any(
                    s.is_held(one.day) for s in shares if (s.owner, s.horse) == (owner, one.horse)
                )
            }
            assert not [other for other in set(OWNERS) - {owner} if other in said]
            assert not [horse for horse in set(HORSES) - own if horse in said]
            # Of a horse that was sold the name and no more.
            assert not [horse for horse in set(HORSES) - held if f"Sentence of {horse}" in said]
            assert {f"{horse}.pdf" for horse in held} == {n for n in files if n.endswith(".pdf")}
            assert all(f"Sentence of {horse}" in said for horse in held)

    @given(SHARES, READY, SHARES, READY, st.sampled_from(OWNERS))
    def test_a_folder_depends_on_nothing_of_others(self, shares, ready, others, more, owner):
        """Whatever else is in the book, the bytes are the same."""
        own = [one for one in shares if one.owner == owner]
        horses = {one.horse for one in own}
        ready = [one for one in ready if one.horse in horses]
        alone, _ = sort(own, ready, [one for one in PEOPLE if one.owner == owner], drafts=True)
        crowd = [one for one in others if one.owner != owner]
        strangers = [one for one in more if one.horse not in horses]
        together, _ = sort([*crowd, *own], [*strangers, *ready], PEOPLE, drafts=True)
        assert together.get(owner) == alone.get(owner)

    @given(SHARES, READY)
    def test_every_report_goes_somewhere_or_the_barn_is_told(self, shares, ready):
        folders, told = sort(shares, ready, PEOPLE)
        placed = {path.stem for files in folders.values() for path in files.values()
                  if isinstance(path, PurePosixPath) and path.suffix == ".pdf"}  # fmt: skip
        unheld = {line.split(":")[0] for line in told if "nobody holds a share" in line}
        assert placed | unheld == {one.horse for one in ready}
        assert not placed & unheld


class TestPlainValues:
    def test_a_book_goes_to_json_and_back(self, tmp_path):
        book = daybook.read(write_book(tmp_path / "stable"))
        owners, shares = owners_of(book), shares_of(book)
        assert owners == (
            Owner("quill", "Quentin Quillfeather", "quill@stable.example"),
            Owner("moth", "Mabel Mothersole", None),
        )
        assert shares[2] == Share("moth", "007", 100.0, date(2025, 1, 1), None)
        assert owners_from(json.loads(json.dumps(as_plain(owners)))) == owners
        assert shares_from(json.loads(json.dumps(as_plain(shares)))) == shares
        assert as_plain(shares)[2]["since"] == "2025-01-01"

    def test_a_book_without_these_tables_has_no_owners(self, tmp_path):
        book = daybook.read(write_book(tmp_path / "stable", owners=None, shares=None))
        assert owners_of(book) == shares_of(book) == ()


def test_the_sample_stable_is_sorted(sample_book, tmp_path):
    book = daybook.read(sample_book)
    horses = book.tables["horses"]
    ready = [report(*row) for row in zip(horses["horse"], horses["name"], strict=True)]
    folders, told = outbox(book.barn, MONTH, owners_of(book), shares_of(book), ready, tmp_path)
    assert {owner: sum(name.endswith(".pdf") for name in files)
            for owner, files in folders.items()} == {
        "barrowmead": 3, "biscuit-three": 3, "dunwattle": 3, "oakshovel": 1, "osterwick": 2,
        "tallowhurst": 2,
    }  # fmt: skip
    assert [line.split(":")[0] for line in told] == ["hoarfrost-ladle", "oakshovel"]


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    with browser(tmp_path_factory.mktemp("profile")) as page:
        yield page


@pytest.mark.slow
@pytest.mark.skipif(executable() is None, reason="needs Chromium")
class TestInABrowser:
    @pytest.mark.parametrize("width", [320, 390, 900, 1600])
    @pytest.mark.parametrize(
        "name",
        ["Colander Fog", "x" * 100, "שָׁלוֹם 🐎 عَرَبِي"],
        ids=["plain", "unbroken", "right-to-left"],
    )
    def test_a_page_fits_asks_for_nothing_and_complains_of_nothing(
        self, page, width, name, tmp_path
    ):
        shares = [share("quill", "fog", 12.5), share("quill", "ladle")]
        horses = [report("fog", name, summary=(f"{name} worked twice.",) * 5), report("ladle")]
        folders, _ = sort(shares, horses, [replace(QUILL, name=name)])
        path = tmp_path / "index.html"
        path.write_bytes(folders["quill"]["index.html"])
        page.open(path, width)
        assert page.value("document.documentElement.scrollWidth") <= width
        assert page.requests() == [path.as_uri()]
        assert page.complaints() == []
        small = "[...document.links].filter(a => a.getBoundingClientRect().height < 24).length"
        assert page.value(small) == 0, "WCAG 2.2, 2.5.8"

    def test_a_screen_reader_hears_of_which_horse_a_link_is(self, page, tmp_path):
        folders, _ = sort([share("quill", "fog")], [report("fog", "Colander Fog")])
        path = tmp_path / "index.html"
        path.write_bytes(folders["quill"]["index.html"])
        page.open(path, 900)
        heard = page.spoken()
        assert [name for role, name in heard if role == "heading"] == [
            "Quentin Quillfeather",
            "Colander Fog",
            "Cautions",
        ]
        assert [name for role, name in heard if role == "link"] == [
            "The report",
            "The report on paper (PDF)",
        ]
        described = "[...document.links].map(a => a.ariaDescribedByElements[0].textContent)"
        assert set(page.value(described)) == {"Colander Fog"}
