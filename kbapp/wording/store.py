"""Sentences for the codes of kbapp.store."""

from typing import Final

from kbapp.i18n import N_

SENTENCES: Final[dict[str, str]] = {
    # where a book lies
    "location_wrong": N_(
        "{location} is no place for a book. Give a folder, or an address like postgresql://user@server/database."
    ),
    "book_missing": N_(
        "There is no book in {where}. Check the name. Recording a case there (kbapp jot, kbapp case add) makes a new book."
    ),
    "book_exists": N_("There is a book in {where} already. Open it, or choose another place for the new one."),
    "not_a_book": N_("{where} holds a database, but no book. Choose the folder or database of your book."),
    "book_newer": N_(
        "The book in {where} has format {found}; this Provebook knows formats up to {known}. Update Provebook on this PC."
    ),
    "folder_not_empty": N_("{where} holds other files. Choose an empty folder for the new book."),
    "database_not_empty": N_("The database {where} holds other tables. Give the book a database of its own."),
    "network_disk": N_(
        "{where} lies on a network drive ({kind}), where a book is not safe. Keep it on a local disk; for several PCs "
        "use a PostgreSQL server."
    ),
    "book_synced": N_(
        "{where} seems to be synchronised by another program ({folder}), which can spoil a book. Move the book to a "
        "folder that is not; for several PCs use a PostgreSQL server."
    ),
    # the disk and the server
    "disk_full": N_("The disk of {where} is full. Nothing was saved: free some space and save again."),
    "disk_failed": N_(
        "{where} cannot be read or written ({detail}). Nothing was saved: check the disk, then try again."
    ),
    "memory_full": N_("There is not enough memory for {where}. Close other programs and try again."),
    "path_missing": N_("{where} is not there. Check the name and that the disk is connected."),
    "book_read_only": N_("{where} may only be read. Give your user the right to write there, or choose another place."),
    "book_cannot_open": N_(
        "The book in {where} cannot be opened ({detail}). Check that the folder is there and may be written to."
    ),
    "book_busy": N_(
        "Another program holds the book in {where}. Nothing was saved: wait until it has finished, then save again."
    ),
    "book_unexpected": N_("The database of {where} refused: {detail}. Nothing was saved. Please report this."),
    "server_lost": N_(
        "The server of {where} does not answer. Nothing was saved, your text is kept here: check the network and save "
        "again."
    ),
    "server_login": N_(
        "The server of {where} refuses this user or password ({detail}). Correct the address of the book."
    ),
    "server_refused": N_("The server of {where} turned Provebook away: {detail}. Ask whoever runs the server."),
    "server_rights": N_("The user of {where} lacks a right ({detail}). Ask whoever runs the server for it."),
    "server_no_database": N_("The server of {where} has no such database. Check the name, or have it made."),
    "server_too_many": N_("The server of {where} takes no more connections. Close Provebook on a PC that is not used."),
    "server_driver_missing": N_(
        'The part of Provebook that speaks to {where} is not installed. Install it with: pip install "kbapp[server]".'
    ),
    # damage
    "not_a_database": N_(
        "The file of the book in {where} is no database, or its beginning is damaged. Restore the latest backup to a new "
        "folder."
    ),
    "book_damaged": N_(
        "The book in {where} is damaged ({detail}). Stop using it and restore the latest backup to a new folder."
    ),
    "document_damaged": N_(
        "Revision {revision} of the book cannot be read. Check the book; restore the latest backup if it stays so."
    ),
    "file_damaged": N_("The file {sha256} has been altered on the disk. Attach it again, or restore a backup."),
    "file_lost": N_("The file {sha256} is missing from {where}. Attach it again, or restore a backup."),
    # cases
    "case_unknown": N_("There is no case {reference} in this book. Check the number, or search for the case."),
    "case_removed": N_("Case {reference} was taken out of view with the import it came in. Import it again to see it."),
    "case_ambiguous": N_("{reference} could be several cases: {matches}. Give the whole id."),
    "case_exists": N_("Case {reference} is in this book already. Open it there, or leave it out."),
    "case_twice": N_("Case {reference} stands twice in what is to be added. Leave one of them out."),
    "case_moved_on": N_("Case {reference} was changed in this book meanwhile. Look at the import again and repeat it."),
    "number_taken": N_(
        "The number {number} belongs to another case. Give this case another number, or leave it empty."
    ),
    "revision_unknown": N_("The book holds no revision {revision} of this case. Open the case again."),
    "stale_save": N_(
        "Case {number} was changed by someone else in the same place ({count}). Nothing was saved: choose what holds, "
        "field by field."
    ),
    "not_proved": N_("Case {reference} is not proved, so there is no signature to accept."),
    "batch_empty": N_("There is nothing to add."),
    "batch_unknown": N_("This book knows no import {reference}."),
    "batch_undone": N_("This import was undone at {at} already."),
    "shelf_moved_on": N_("{key} was changed by someone else meanwhile. Open it again and repeat your change."),
    "private_erased_note": N_(
        "The private details are erased from the book. Backups made before keep them until they are deleted; automatic "
        "backups are replaced by newer ones in time."
    ),
    # files and backups
    "file_unknown": N_("This book does not keep the file {sha256}. Attach it to the case."),
    "file_changing": N_(
        "{where} changed while it was being read. Close the program that writes it and attach it again."
    ),
    "backup_exists": N_("{where} is there already. Give the backup another name."),
    "backup_wrong": N_("{where} is no backup of a book ({detail}). Choose a file made by Provebook's backup."),
    "backup_newer": N_(
        "The backup {where} has format {found}; this Provebook knows formats up to {known}. Update Provebook on this PC."
    ),
    "backup_damaged": N_("The backup {where} is damaged at {detail}. Nothing was restored: use another backup."),
    # faults that checking a book can find; {path} says where in the book
    "check_database": N_("{path}: the database reports damage: {found}."),
    "check_document": N_("{path}: the document cannot be read."),
    "check_digest": N_("{path}: the document does not have the digest it was saved with (found {found})."),
    "check_canonical": N_("{path}: the document is not in its settled form."),
    "check_counter": N_("{path}: the change counter stands at {found}, the changes end at {expected}."),
    "check_feed": N_("{path}: the change feed does not run on from {expected}."),
    "check_change": N_("{path}: the change names revision {found}, which is not of its case."),
    "check_orphan": N_("{path}: belongs to nothing in this book."),
    "check_head": N_("{path}: the case's row says {found} where its document says {expected}."),
    "check_head_missing": N_("{path}: the case is missing from the list of cases."),
    "check_lines": N_("{path}: the lines of the projection are not those of the document."),
    "check_private": N_("{path}: private details cannot be found by what they hold."),
    "check_number": N_("{path}: several cases of this shop have the number {found}."),
    "check_file": N_("{path}: the file is missing or altered."),
    # signatures
    "sign_moved_on": N_(
        "{number} was changed by {author} after you opened it. Nothing was signed: read it again, then sign."
    ),
    "sign_needs_lead_login": N_(
        "The login of this PC at the server may not sign. Nothing was signed: use a PC whose login belongs to the leads."
    ),
    "check_sign_off": N_(
        "{path}: the sign-off log names another document ({found}) than the revision it stands for ({expected})."
    ),
}
