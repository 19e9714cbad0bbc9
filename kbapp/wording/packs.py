"""Sentences for the codes of packs, and labels for what their plans and reviews name."""

from collections.abc import Mapping
from typing import Final, Literal

from kbapp.i18n import N_, _, ngettext

SENTENCES: Final[dict[str, str]] = {
    "pack_faults": N_("{source} cannot be taken: it is damaged or was altered ({count} places). Ask for the pack again."),
    # the ZIP
    "pack_zip_damaged": N_("The file is no sound ZIP ({found}). Ask for the pack again."),
    "pack_too_large": N_("The pack has {found} bytes, at most {expected} are read. Ask for it in several packs."),
    "pack_too_many": N_("The pack has {found} files, at most {expected} are read. Ask for it in several packs."),
    "pack_name_long": N_("{path}: the name has {found} characters, at most {expected} are taken."),
    "pack_name_deep": N_("{path}: lies {found} levels deep, at most {expected} are taken."),
    "pack_name_escapes": N_("{path}: the name leads out of the pack. Do not open this file with other programs."),
    "pack_name_character": N_("{path}: the name holds {found}, which some systems cannot keep."),
    "pack_name_not_nfc": N_("{path}: the name is not in the settled form of its letters (NFC)."),
    "pack_name_reserved": N_("{path}: is the name of a device on some systems."),
    "pack_name_twice": N_("{path}: stands twice in the pack."),
    "pack_name_case": N_("{path}: is the same as {found} where letter case does not count."),
    "pack_entry_encrypted": N_("{path}: is encrypted. Packs are signed, never encrypted."),
    "pack_entry_flags": N_("{path}: uses a feature of ZIP files that packs do without ({found})."),
    "pack_entry_method": N_("{path}: is packed by method {found}; only stored and deflated files are taken."),
    "pack_entry_extra": N_("{path}: carries extra data that nothing vouches for."),
    "pack_entry_folder": N_("{path}: is a folder entry; a pack holds files only."),
    "pack_entry_link": N_("{path}: is a link or a device, no file."),
    "pack_entry_large": N_("{path}: has {found} bytes, at most {expected} are read."),
    "pack_entry_ratio": N_("{path}: would unpack to {found} times its size, at most {expected} times is taken."),
    "pack_entry_size": N_("{path}: has {found} bytes where the pack says {expected}."),
    "pack_entry_checksum": N_("{path}: its bytes do not have the checksum the pack says."),
    "pack_entry_compression": N_("{path}: cannot be unpacked."),
    "pack_entry_trailing": N_("{path}: more data follows the end of the file."),
    "pack_entry_headers": N_("{path}: the two descriptions of this file in the pack differ, or files overlap."),
    # the bag
    "pack_top": N_("The pack needs exactly one folder at its top; found: {found}."),
    "pack_declaration": N_("{path}: does not declare a BagIt 1.0 bag in UTF-8."),
    "pack_manifest_line": N_("{path}: {found} is no digest and path."),
    "pack_manifest_twice": N_("{path}: lists {found} twice."),
    "pack_info_line": N_("{path}: {found} is no label with a value."),
    "pack_oxum": N_("{path}: Payload-Oxum is missing or wrong ({found})."),
    "pack_oxum_differs": N_("{path}: says the payload is {found} (bytes.files), it is {expected}."),
    "pack_line_cut": N_("{path}: breaks off within a line."),
    "pack_line_end": N_("{path}: lines have to end with a line feed alone."),
    "pack_file_missing": N_("{path}: is missing from the pack."),
    "pack_file_altered": N_("{path}: was altered: its digest is not the listed one."),
    "pack_file_unlisted": N_("{path}: is listed nowhere in the pack."),
    "pack_file_unexpected": N_("{path}: is no file a pack of this format has."),
    "pack_file_unused": N_("{path}: no case of the pack names this file."),
    "pack_key_weak": N_("{path}: the key is one under which anybody can sign. Do not trust this pack."),
    "pack_signature_wrong": N_("{path}: the signature is not that of the key in the pack. Do not trust this pack."),
    "pack_newer": N_("{where} needs a newer Provebook (its format is {found}). Update Provebook to read it."),
    # cases in a pack
    "pack_case_id": N_("{path}: the case {found} lies under the name of another ({expected})."),
    "pack_case_private": N_("{path}: is a label of the other shop's book and should not have left it."),
    "pack_lineage_wrong": N_("{path}: the digest does not belong to this document."),
    "pack_attachment_missing": N_("{path}: the file {found} did not come along."),
    # making
    "pack_of_practice": N_("The practice book makes no packs. Open your own book."),
    "pack_into_practice": N_("The practice book takes no packs in. Open your own book, or look with --dry-run."),
    "pack_empty": N_("No case is selected. Choose others, or leave the filter out."),
    "pack_over_limit": N_(
        "The pack would be larger than any Provebook reads ({size} bytes, {count} files; at most {most_size} bytes, "
        "{most} files). Make several packs."
    ),
    "pack_exists": N_("{path} is there already. Give the pack another name."),
    "pack_plan_changed": N_(
        "Something changed since you looked through the removals, so nothing was written. Look through them again: the "
        "digest is now {found}."
    ),
    "pack_still_holds": N_(
        "The written pack still held something personal at {where} ({kind}; {count} in all). It was dropped. Please report "
        "this, and leave the case out."
    ),
    "pack_not_written": N_("{path} cannot be written ({why}). Nothing is left there. Choose another place."),
    "blanking_failed": N_("Case {number} cannot be blanked so that a sound case is left. Shorten its longest lines."),
    "picture_unreadable": N_("A picture cannot be read ({why})."),
    "select_unknown_field": N_("There is nothing called {field} to select by. Use one of: {fields}."),
    "select_wrong_value": N_("{value} is no value of {field}. Use one of: {values}."),
    # reading
    "pack_unknown": N_("This book read no pack {reference}. See the packs with: kbapp pack list."),
    "pack_key_revoked": N_(
        "The pack is signed by {shop} with a key you revoked ({fingerprint}). Nothing was read. Ask the shop by phone."
    ),
    "pack_key_changed": N_(
        "{shop} signed with another key than before ({fingerprint}). Nothing was read. Call the shop, compare the figures, "
        "and trust the new key if they agree."
    ),
    "fingerprint_wrong": N_("{found} is no fingerprint. It has 40 figures, in groups of five."),
    "clash_unknown": N_("There is no clash of a case {reference} in this pack."),
    "clash_field_unknown": N_("The two versions do not differ in {field}. They differ in: {fields}."),
    "clash_unsound": N_("The fields chosen for case {number} do not go together. Choose the whole lines they belong to."),
    # the shop's key
    "key_elsewhere": N_(
        "The shop signs with a key that is not on this PC ({fingerprint}). Restore its backup here (kbapp shop-key restore), "
        "or make a new one if it is lost (kbapp shop-key renew)."
    ),
    "key_damaged": N_("The key file {where} is damaged. Restore it from a backup."),
    "key_passphrase_wrong": N_("The passphrase does not open the shop's key. Try again."),
    "key_file_exists": N_("{path} is there already. Give the file another name."),
    "key_file_missing": N_("There is no file {path}. Check the name."),
    "key_not_written": N_("The key cannot be written to {path} ({why}). Choose another place."),
    "key_of_other_shop": N_("{path} holds the key of another shop ({shop})."),
    "key_differs": N_(
        "The shop signs with another key by now ({fingerprint}); the file holds {found}. Shops that trust yours would be told "
        "that it changed. Use --replace if that is meant."
    ),
}  # fmt: skip

PackTerm = Literal["removal", "verdict", "reason", "trust", "note"]

_TERMS: Final[Mapping[PackTerm, Mapping[str, str]]] = {
    "removal": {
        "phone": N_("Phone number"), "email": N_("E-mail address"), "plate": N_("Number plate"), "vin": N_("VIN"),
        "address": N_("Address"), "name": N_("Name"), "order_number": N_("Order number"), "date": N_("Date, to the month"),
        "odometer": N_("Odometer, rounded"), "file_name": N_("File name"), "metadata": N_("Hidden in the picture"),
        "file": N_("File that cannot be looked into"), "vehicle_ref": N_("Label of the vehicle"),
    },
    "verdict": {
        "new": N_("New"), "revised": N_("Revised"), "clash": N_("Clash"), "here": N_("Already here"), "refused": N_("Refused"),
    },
    "reason": {
        "same": N_("the same version"), "older": N_("an earlier version of yours"),
        "edited_here": N_("changed here too: yours stays unless you choose"),
        "own_case": N_("your own case, changed elsewhere: yours stays unless you choose"),
        "other_signer": N_("signed by another shop than the one it came from: yours stays unless you choose"),
        "newer_format": N_("needs a newer Provebook"), "faults": N_("the document has faults"),
    },
    "trust": {
        "own": N_("Signed by your own shop."),
        "trusted": N_("Signed by {shop} with a key you trust."),
        "unknown": N_("Signed with a key you have not compared yet. Call {shop} and compare the figures."),
        "changed": N_("{shop} signed with another key than before. Call before you trust it."),
        "revoked": N_("Signed by {shop} with a key you revoked."),
    },
    "note": {
        "came_back": N_("the vehicle came back: the repair did not hold"), "withdrawn": N_("withdrawn by its shop"),
        "markup": N_("holds links or markup; it is shown as text"),
    },
}  # fmt: skip


def pack_term(kind: PackTerm, value: str) -> str:
    """Returns the label of a word that plans and reviews use; a word without a label stands for itself."""
    label = _TERMS[kind].get(value)
    return _(label) if label else value


def pack_faults_head(count: int, source: str) -> str:
    """Returns the line above the faults of a pack."""
    template = ngettext(
        "{source} was refused as a whole, nothing of it was read. {n} fault:",
        "{source} was refused as a whole, nothing of it was read. {n} faults:",
        count,
    )
    return template.format(n=count, source=source or _("The pack"))
