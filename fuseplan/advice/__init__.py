"""Choosing: sizes, ratings and relays that pass every check, and which readings would settle a doubtful verdict."""

from fuseplan.advice.proposal import Change, Collision, Proposal
from fuseplan.advice.propose import propose

__all__ = ["Change", "Collision", "Proposal", "propose"]
