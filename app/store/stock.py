"""What is on hand of each part number."""

from sqlmodel import Session, col, select

from app.domain.parts_ahead import Stock
from app.store.book import Writing
from app.store.stock_rows import StockRow


def save_stock(writing: Writing, stock: Stock) -> None:
    """Keep what was counted of a part number; the count before it stays in the book."""
    before = list_stock(writing.session).get(stock.number)
    old = {"on_hand": before.on_hand, "best_before": before.best_before} if before else None
    values = {"number": stock.number, "on_hand": stock.on_hand, "best_before": stock.best_before}
    values |= {"person": writing.person, "at": writing.now}
    writing.insert(StockRow, **values)
    writing.enter("stock counted", f"part number {stock.number}", old, values)


def list_stock(session: Session) -> dict[str, Stock]:
    """Give the last count of each part number."""
    rows = session.exec(select(StockRow).order_by(col(StockRow.id)))
    return {row.number: Stock(row.number, row.on_hand, row.best_before) for row in rows}
