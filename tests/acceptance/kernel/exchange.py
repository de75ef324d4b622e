from pathlib import Path
from acceptance.kernel.claims import Claims
def prove(claims: Claims, folder: Path) -> None:
    """x"""
