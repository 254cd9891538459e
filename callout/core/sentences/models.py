"""Vosk models: downloading, installing, testing."""

from __future__ import annotations


def python_package(name: object) -> str:
    return f"{name} is a Python package."


def not_installed_callout(path: object) -> str:
    return f"{path} was not installed by callout."


REMOVE_HAND_IF_NO = "Remove it by hand if no other program uses it."


def did_you_mean(close: object) -> str:
    return f"Did you mean {close}?"


def no_model_called(name: object) -> str:
    return f"There is no model called {name}, and no folder of that name."


DOWNLOAD_AND_COMPARE = "Download it again, and compare its checksum with the publisher's."


def not_complete_zip_file(archive: object, error: object) -> str:
    return f"{archive} is not a complete zip file: {error}."


def cannot_unpacked(archive: object, error: object) -> str:
    return f"{archive} cannot be unpacked: {error}."


USE_MODELS_ZIP_FILE = "Use the model's zip file exactly as its publisher offers it."


def file_from_has_sha(url: object, found: object, wanted: object) -> str:
    return f"The file from {url} has the SHA-256 {found}, not {wanted}."


DELETED_CHECK_ADDRESS_CHECKSUM = (
    "It was deleted. Check the address and the checksum, then download it again."
)


def sent_more_data_than(url: object) -> str:
    return f"{url} sent more data than any model has."


def more_than_any_model(url: object, total: object) -> str:
    return f"{url} is {total}, more than any model has."


def not_sha_256_checksum(sha256: object) -> str:
    return f"{sha256!r} is not a SHA-256 checksum."


HAS_64_DIGITS_FROM = "It has 64 digits from 0 to 9 and a to f."


def could_not_download(url: object, error: object) -> str:
    return f"Could not download {url}: {error}."


def saved_give_same_command(have: object) -> str:
    return f"{have} are saved. Give the same command again to continue from there."


CHECK_ADDRESS_NETWORK_THEN = "Check the address and the network, then try again."


def not_address_download_from(url: object) -> str:
    return f"{url!r} is not an address to download from."


GIVE_FULL_ADDRESS_ZIP = "Give the full address of a zip file, beginning with https:// or http://."

ASK_PUBLISHER_ADDRESS_STAYS = "Ask the publisher for an address that stays on https."


def no_file_folder(source: object) -> str:
    return f"There is no file or folder {source}."


CHECK_PATH = "Check the path."


def is_empty(source: object) -> str:
    return f"{source} is empty."


DOWNLOAD_AGAIN = "Download it again."


def zip_is_incomplete(source: object) -> str:
    return f"{source} is not a complete zip file."


MODELS_COME_AS_ZIP = (
    "Models come as .zip files: download it again, or unpack it and give the folder."
)


def holds_several_models(source: object, count: object, names: object) -> str:
    return f"{source} holds {count} models: {names} are in it."


INSTALL_ONE_FOLDER_TIME = "Install one folder at a time."


def holds_no_vosk_model(source: object) -> str:
    return f"{source} holds no Vosk model: there is no am/final.mdl in it."


GIVE_ZIP_FILE_AS = "Give the zip file as downloaded, or the folder that holds am, conf and graph."


def model_incomplete_missing(source: object, missing: object) -> str:
    return f"The model in {source} is incomplete: {missing} missing."


def model_called_already_installed(name: object) -> str:
    return f"A model called {name} is already installed."


REPLACE_OR_RENAME = "Add --replace to replace it, or --name NAME to keep both."


def contains_model_folder_itself(source: object) -> str:
    return f"{source} contains the model folder itself."


GIVE_FOLDER_ONE_MODEL = "Give the folder of one model."

PUT_FILE_NOT_LINK = "Put the file itself there."


def model_cannot_called(name: object) -> str:
    return f"A model cannot be called {name!r}."


def disk_full(models_dir: object) -> str:
    return f"The disk is full: {models_dir}."


def free_some_space(variable: object) -> str:
    return f"Free some space, or choose another folder with {variable}."


def model_folder_failed(doing: object, folder: object, why: object) -> str:
    return f"Callout cannot {doing} the model folder {folder}: {why}."


def check_permissions_choose_another(folder_variable: object) -> str:
    return f"Check its permissions, or choose another folder with {folder_variable}."


def needs_free(size: object, models_dir: object, free: object) -> str:
    return f"This needs {size} in {models_dir}; {free} are free."


def did_not_load_within(trial_seconds: object) -> str:
    return f"It did not load within {trial_seconds} seconds."


SYSTEM_STOPPED_WHILE_LOADING = (
    "The system stopped it while loading, probably because memory ran out."
)


def loading_crashed_vosk_library(cause: object) -> str:
    return f"Loading it crashed the Vosk library ({cause}): a file in it is damaged."
