"""Lines of OWASP ASVS 5.0, levels 1 and 2 (few of 3), that tests elsewhere hold; numbers from memory of 5.0.0."""

GUARDS, SIGN_IN, SIGN_INS = "tests/web/test_guards.py", "tests/web/test_sign_in.py", "tests/web/test_sign_ins.py"
UNLOCK, ROLES, EXPORTS = "tests/web/test_unlock.py", "tests/web/test_roles.py", "tests/web/test_exports.py"
TLS, FUZZ, PICTURES = (
    "tests/serving/test_served_with_tls.py",
    "tests/fuzz/test_forms.py",
    "tests/actions/test_pictures.py",
)
CERTIFICATES, SIGNING, PINS = (
    "tests/serving/test_certificates.py",
    "tests/web/test_signing.py",
    "tests/web/test_pins.py",
)
BOOK, REFUSALS, PEOPLE = "tests/store/test_book.py", "tests/web/test_refusals.py", "tests/web/test_people.py"
NONSENSE = f"{FUZZ}::test_form_with_nonsense_ends_in_no_error_and_is_written_for_nobody_who_may_not"

HELD_ELSEWHERE: dict[str, tuple[str, ...]] = {
    "1.2.1": (
        "tests/web/test_bad_input.py::test_markup_typed_into_a_note_stays_text",
        f"{PEOPLE}::test_a_name_with_signs_of_markup_is_shown_as_it_is",
    ),
    "1.2.4": (NONSENSE, "tests/store/test_search.py::test_odd_signs_are_no_question_and_no_error"),
    "1.2.10": (
        f"{EXPORTS}::test_csv_holds_every_reading_as_written_and_no_formula",
        f"{EXPORTS}::test_workbook_holds_texts_and_numbers_and_never_a_formula",
        "tests/web/test_parts_ahead.py::test_formula_in_a_part_name_is_a_text_in_the_list",
        "tests/web/test_machine_readings.py::test_the_file_holds_all_that_was_chosen_and_no_formula",
    ),
    "1.3.4": (f"{PICTURES}::test_what_is_no_plain_picture_is_refused_in_words",),
    "2.2.2": (NONSENSE,),
    "2.3.1": (
        "tests/web/test_boxing_up.py::test_step_out_of_order_names_the_one_that_comes_first",
        f"{SIGNING}::test_undecided_part_holds_the_signature_of_the_decisions",
    ),
    "2.3.3": (f"{BOOK}::test_change_that_fails_leaves_nothing_and_no_entry",),
    "2.3.5": (f"{SIGNING}::test_chief_engineer_who_signed_the_gauging_does_not_sign_the_decisions_too",),
    "2.4.1": ("tests/web/test_hours_call.py::test_too_many_calls_a_minute_are_told_to_wait",),
    "3.2.2": ("tests/house/test_templates.py::test_template_holds_nothing_that_the_policy_forbids",),
    "3.3.1": (f"{TLS}::test_client_that_trusts_the_authority_signs_in_with_cookies_bound_to_this_host",),
    "3.3.3": (f"{TLS}::test_client_that_trusts_the_authority_signs_in_with_cookies_bound_to_this_host",),
    "3.5.1": (
        f"{ROLES}::test_no_form_is_taken_from_anybody_without_its_token",
        f"{GUARDS}::test_form_without_its_token_or_with_another_stores_nothing",
    ),
    "3.5.3": ("tests/web/test_reads.py::test_no_reading_of_any_page_by_anybody_changes_the_evidence_or_the_chain",),
    "3.7.2": (
        f"{SIGN_IN}::test_signing_in_never_leads_out_of_the_book",
        f"{UNLOCK}::test_lock_never_leads_out_of_the_book",
    ),
    "5.2.1": (
        f"{GUARDS}::test_more_than_any_page_sends_is_refused_and_stores_nothing",
        "tests/web/test_photos.py::test_photo_larger_than_anything_a_page_sends_is_stopped",
    ),
    "5.2.2": (
        f"{PICTURES}::test_what_is_no_plain_picture_is_refused_in_words",
        "tests/web/test_photos.py::test_what_is_no_photo_is_refused_beside_its_field_with_what_was_typed",
    ),
    "5.3.1": ("tests/web/test_photos.py::test_picture_is_given_to_whoever_is_signed_in_and_kept_for_ever",),
    "6.2.1": (f"{SIGN_IN}::test_a_short_password_and_no_name_are_both_refused_at_once",),
    "6.2.4": (f"{SIGN_INS}::test_password_that_is_tried_first_is_refused",),
    "6.2.8": (f"{SIGN_INS}::test_long_password_is_taken_whole_with_any_characters",),
    "6.2.9": (f"{SIGN_INS}::test_long_password_is_taken_whole_with_any_characters",),
    "6.3.1": (
        f"{SIGN_INS}::test_guessing_grows_slow_for_the_guesser_and_for_nobody_else",
        f"{PINS}::test_fifth_wrong_pin_ends_the_quick_way_for_good_and_the_password_still_opens",
    ),
    "6.3.8": (f"{SIGN_IN}::test_a_wrong_password_and_an_unknown_name_are_answered_with_the_same_words",),
    "7.2.1": (f"{GUARDS}::test_forged_sign_in_lets_nobody_in",),
    "7.3.1": (f"{UNLOCK}::test_idle_sign_in_asks_for_the_password_and_goes_on_to_the_page",),
    "7.3.2": (
        "tests/domain/test_sign_ins.py::test_sign_in_slides_with_use_locks_when_idle_and_ends_at_last",
        f"{GUARDS}::test_sign_in_that_has_run_out_asks_again",
    ),
    "7.4.1": (f"{GUARDS}::test_signing_out_ends_the_sign_in_for_good",),
    "7.4.2": (f"{SIGN_IN}::test_a_person_kept_out_is_out_at_once_and_cannot_sign_in",),
    "7.4.3": (f"{SIGN_INS}::test_changing_ones_password_asks_for_the_old_one_and_ends_every_other_sign_in",),
    "7.4.5": (f"{SIGN_INS}::test_chief_engineer_ends_anybodys_sign_in_and_a_fitter_only_their_own",),
    "7.5.2": (
        f"{SIGN_INS}::test_person_sees_where_they_are_signed_in_and_ends_one_of_them",
        f"{SIGN_INS}::test_all_other_sign_ins_end_at_once_and_this_one_stays",
    ),
    "7.5.3": (
        f"{SIGNING}::test_wrong_password_signs_nothing_and_is_said_beside_its_field",
        f"{PINS}::test_signature_is_given_by_the_password_alone",
    ),
    "8.2.1": (
        f"{ROLES}::test_every_page_is_shown_to_those_who_may_read_it_and_to_nobody_else",
        f"{ROLES}::test_form_is_taken_from_those_who_may_send_it_and_from_nobody_else",
    ),
    "8.2.2": (
        f"{SIGN_INS}::test_handle_of_another_persons_sign_in_ends_nothing",
        f"{PINS}::test_tablet_of_somebody_else_is_not_reached_by_its_number",
    ),
    "8.3.1": (f"{FUZZ}::test_form_as_it_stands_is_written_for_nobody_who_may_not",),
    "8.3.2": (f"{SIGN_IN}::test_a_person_kept_out_is_out_at_once_and_cannot_sign_in",),
    "12.1.1": (f"{TLS}::test_server_speaks_no_tls_older_than_1_2",),
    "12.2.1": (f"{TLS}::test_plain_page_leads_to_the_encrypted_one_and_shows_nothing_of_the_book",),
    "12.2.2": (f"{CERTIFICATES}::test_authority_cannot_vouch_for_anything_outside_the_site",),
    "13.3.1": (f"{CERTIFICATES}::test_keys_are_readable_by_the_servers_own_user_alone",),
    "15.3.1": (f"{EXPORTS}::test_export_of_the_book_holds_every_entry_and_no_digest_of_a_password",),
    "15.3.5": (NONSENSE,),
    "16.5.1": (f"{REFUSALS}::test_what_nobody_foresaw_is_logged_in_full_and_shown_without_detail",),
    "16.5.3": (f"{BOOK}::test_book_that_cannot_be_written_says_so_in_words",),
}
