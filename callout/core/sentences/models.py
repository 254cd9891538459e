"""Vosk models: downloading, installing, testing."""

from __future__ import annotations

from pathlib import PurePath


def python_package(name: str) -> str:
    return f"{name} is a Python package."


def not_installed_callout(path: PurePath) -> str:
    return f"{path} was not installed by callout."


FOREIGN_MODEL_HINT = "Remove it by hand if no other program uses it."


def did_you_mean(close: str) -> str:
    return f"Did you mean {close}?"


def no_model_called(name: str) -> str:
    return f"There is no model called {name}, and no folder of that name."


DOWNLOAD_AND_COMPARE = "Download it again, and compare its checksum with the publisher's."


def zip_damaged(archive: PurePath, error: str) -> str:
    return f"{archive} is not a complete zip file: {error}."


def zip_not_unpacked(archive: PurePath, error: str) -> str:
    return f"{archive} cannot be unpacked: {error}."


ZIP_HINT = "Use the model's zip file exactly as its publisher offers it."


def checksum_differs(url: str, found: str, wanted: str) -> str:
    return f"The file from {url} has the SHA-256 {found}, not {wanted}."


CHECKSUM_HINT = "It was deleted. Check the address and the checksum, then download it again."


def too_much_data(url: str) -> str:
    return f"{url} sent more data than any model has."


def too_large_to_be_a_model(url: str, total: str) -> str:
    return f"{url} is {total}, more than any model has."


def not_a_checksum(sha256: str) -> str:
    return f"{sha256!r} is not a SHA-256 checksum."


CHECKSUM_FORM_HINT = "It has 64 digits from 0 to 9 and a to f."


def could_not_download(url: str, error: Exception) -> str:
    return f"Could not download {url}: {error}."


def continue_download(have: str) -> str:
    return f"{have} are saved. Give the same command again to continue from there."


DOWNLOAD_HINT = "Check the address and the network, then try again."


def not_an_address(url: str) -> str:
    return f"{url!r} is not an address to download from."


ADDRESS_HINT = "Give the full address of a zip file, beginning with https:// or http://."

DOWNGRADE_HINT = "Ask the publisher for an address that stays on https."


def no_model_source(source: PurePath) -> str:
    return f"There is no file or folder {source}."


CHECK_PATH = "Check the path."


def is_empty(source: PurePath) -> str:
    return f"{source} is empty."


DOWNLOAD_AGAIN = "Download it again."


def zip_is_incomplete(source: PurePath) -> str:
    return f"{source} is not a complete zip file."


NOT_A_ZIP_HINT = "Models come as .zip files: download it again, or unpack it and give the folder."


def several_models(source: PurePath, count: int, names: str) -> str:
    return f"{source} holds {count} models: {names} in it."


SEVERAL_MODELS_HINT = "Install one folder at a time."


def no_vosk_model(source: PurePath | str) -> str:
    return f"{source} contains no Vosk model: it has no am/final.mdl."


NO_MODEL_HINT = "Give the zip file as downloaded, or the folder that holds am, conf and graph."


def model_incomplete(source: PurePath, missing: str) -> str:
    return f"The model in {source} is incomplete: {missing} missing."


def model_exists(name: str) -> str:
    return f"A model called {name} is already installed."


REPLACE_OR_RENAME = "Add --replace to replace it, or --name NAME to keep both."


def source_contains_target(source: PurePath) -> str:
    return f"{source} contains the model folder itself."


ONE_MODEL_HINT = "Give the folder of one model."

LINK_HINT = "Put the file itself there."


def bad_model_name(name: str) -> str:
    return f"A model cannot be called {name!r}."


def disk_full(models_dir: PurePath) -> str:
    return f"The disk is full: {models_dir}."


def free_some_space(variable: str) -> str:
    return f"Free some space, or choose another folder with {variable}."


def model_folder_failed(doing: str, folder: PurePath, why: Exception | str) -> str:
    return f"Callout cannot {doing} the model folder {folder}: {why}."


def model_folder_hint(folder_variable: str) -> str:
    return f"Check its permissions, or choose another folder with {folder_variable}."


def too_little_space(size: str, models_dir: PurePath, free: str) -> str:
    return f"This needs {size} in {models_dir}; {free} are free."


def load_timed_out(trial_seconds: int) -> str:
    return f"It did not load within {trial_seconds} seconds."


LOAD_KILLED = "The system stopped it while loading, probably because memory ran out."


def load_crashed(cause: str) -> str:
    return f"Loading it crashed the Vosk library ({cause}): a file in it is damaged."
