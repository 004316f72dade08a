/**
 * A part, or an assembly of parts, as one stands in a unit. Money in minor units, not rounded: an estimate, not a
 * booking.
 */
export interface CostItem {
  readonly key: string;
  /** Pieces in one of the assembly above. */
  readonly quantity: number;
  /** Share of pieces spoilt while fitting, 0 to below 1. */
  readonly scrapShare?: number | undefined;
  /** Price of a bought piece; of an assembly, what is bought besides its parts. */
  readonly price_minor?: number | undefined;
  /** Work on one. */
  readonly labour_minor?: number | undefined;
  /** Share of assemblies that come out good; the others are lost with all that is in them. */
  readonly yieldShare?: number | undefined;
  readonly parts?: readonly CostItem[] | undefined;
}

export interface CostRow {
  readonly key: string;
  /** Pieces used up for one good unit, with scrap and lost assemblies. */
  readonly used: number;
  /** Bought and labour of this item alone, for one good unit. */
  readonly material_minor: number;
  readonly labour_minor: number;
}

export interface RollUp {
  /** For one good unit. */
  readonly unit_minor: number;
  readonly material_minor: number;
  readonly labour_minor: number;
  /** What scrap and lost assemblies add, against all going well. */
  readonly loss_minor: number;
  /** One row for each item, in the order of the tree; an item in two places has two rows. */
  readonly rows: readonly CostRow[];
}

/**
 * Cost of one good unit from its bill of materials: a piece is used 1/(1 - scrap) times, an assembly is built 1/yield
 * times, and what is inside is used up as often (standard cost roll-up; common practice, no source). Rows sum to the
 * whole.
 */
export function rollUp(top: CostItem): RollUp {
  const rows: CostRow[] = [];
  let ideal = 0;
  const visit = (item: CostItem, built: number, wanted: number) => {
    const { scrapShare = 0, yieldShare = 1, price_minor = 0, labour_minor = 0 } = item;
    if (!(item.quantity >= 0 && scrapShare >= 0 && scrapShare < 1 && yieldShare > 0 && yieldShare <= 1))
      throw new RangeError(`rollUp: ${item.key}: quantity ${item.quantity}, scrap ${scrapShare}, yield ${yieldShare}`);
    const used = (built * item.quantity) / (1 - scrapShare) / yieldShare;
    const perfect = wanted * item.quantity;
    rows.push({ key: item.key, used, material_minor: used * price_minor, labour_minor: used * labour_minor });
    ideal += perfect * (price_minor + labour_minor);
    for (const part of item.parts ?? []) visit(part, used, perfect);
  };
  visit(top, 1, 1);
  const material_minor = rows.reduce((sum, r) => sum + r.material_minor, 0);
  const labour_minor = rows.reduce((sum, r) => sum + r.labour_minor, 0);
  const unit_minor = material_minor + labour_minor;
  return { unit_minor, material_minor, labour_minor, loss_minor: unit_minor - ideal, rows };
}

/** Whole pieces of each bought part to have for `units` good units, rounded up once a part. */
export function piecesFor(top: CostItem, units: number): Map<string, number> {
  const used = new Map<string, number>();
  const bought = new Set<string>();
  const collect = (item: CostItem) => {
    if ((item.parts ?? []).length === 0) bought.add(item.key);
    for (const part of item.parts ?? []) collect(part);
  };
  collect(top);
  for (const row of rollUp(top).rows)
    if (bought.has(row.key)) used.set(row.key, (used.get(row.key) ?? 0) + row.used * units);
  // A sum such as 63.00000000000001 is 63.
  return new Map([...used].map(([key, n]) => [key, Math.ceil(n - 1e-9)]));
}
