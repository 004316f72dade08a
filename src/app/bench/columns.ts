/** Which column of somebody's table may be which field: a guess, to be looked at before anything is read. */
import { fieldsOf } from './tables.ts';

/** Titles that offices write (common practice, no source), as `bare` leaves them. */
const WORDS: Readonly<Record<string, readonly string[]>> = {
  name: ['description', 'title', 'partname', 'item'],
  is: ['kind', 'type', 'category', 'class'],
  measured: ['unit', 'unitofmeasure', 'uom'],
  note: ['notes', 'remark', 'remarks', 'comment', 'comments'],
  part: ['partno', 'partnumber', 'partkey', 'article', 'articleno', 'item', 'itemno', 'sku'],
  count: ['quantity', 'qty', 'pieces', 'pcs', 'number', 'units', 'ordered', 'received'],
  supplier: ['vendor', 'seller', 'distributor', 'from'],
  supplierLot: ['supplierslot', 'vendorlot', 'suppliersmark', 'batchcode', 'mark'],
  currency: ['cur', 'curr'],
  goods: ['price', 'total', 'cost', 'amount', 'value', 'sum'],
  freight: ['shipping', 'postage', 'carriage'],
  duty: ['customs', 'duties'],
  fees: ['fee', 'charges', 'bankfee'],
  customer: ['client', 'buyer', 'orderedby'],
  plan: ['product', 'kit', 'model'],
  region: ['market', 'variant'],
  due: ['duedate', 'dueon', 'deadline', 'wantedby', 'deliverby'],
  serial: ['serialno', 'serialnumber', 'unit', 'sn'],
  gate: ['test', 'check', 'measurement'],
  value: ['measured', 'reading', 'result'],
  at: ['time', 'date', 'when', 'measuredat', 'timestamp', 'day'],
  instrument: ['meter', 'device'],
  lot: ['lotno', 'lotnumber', 'lotkey'],
  change: ['quantity', 'qty', 'pieces', 'pcs'],
  why: ['reason', 'cause'],
  price: ['unitprice', 'priceperunit', 'priceeach', 'each', 'netprice'],
  from: ['fromquantity', 'minqty', 'qtyfrom', 'breakqty', 'quantity', 'qty', 'pricebreak', 'break'],
  per: ['priceunit', 'priceper', 'pricefor'],
  minimum: ['moq', 'minimumorder', 'minorder', 'minimumorderquantity'],
  pack: ['packsize', 'packagingunit', 'spq', 'multiple'],
  leadTime_d: ['leadtime', 'leadtimedays', 'deliverytime'],
  asked: ['quoted', 'offerdate', 'validfrom', 'quotedate'],
  position: ['pos', 'no', 'number'],
  made: ['madeon', 'builton', 'produced', 'date'],
  batch: ['batchno', 'batchkey', 'run', 'series'],
  prefix: ['serialprefix'],
  opened: ['begun', 'start', 'startdate'],
  closed: ['ended', 'end', 'finished'],
  scrap_pct: ['scrap', 'scrapallowance', 'waste'],
  alternates: ['alternatives', 'substitutes', 'alternate'],
  use: ['designator', 'reference', 'refdes', 'where'],
  what: ['event', 'action'],
  reason: ['why', 'cause', 'remark', 'note'],
  received: ['receivedon', 'arrived', 'date'],
};
const KEY_WORDS: Readonly<Record<string, readonly string[]>> = {
  parts: ['partno', 'partnumber', 'part', 'article', 'articleno', 'itemno', 'sku', 'code', 'id', 'no'],
  lots: ['lot', 'lotno', 'lotnumber', 'lotkey', 'batch', 'batchno', 'id', 'no'],
  batches: ['batch', 'batchno', 'id', 'no'],
  plans: ['plan', 'id'],
  orders: ['order', 'orderno', 'ordernumber', 'id', 'no'],
};

const bare = (title: string) => title.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');

/**
 * Field by title; nothing where none fits. A title that is a field's own name comes before all others, then the order of the
 * words above; no field is given twice, and of two equal titles the first counts.
 */
export function guessColumns(table: string, titles: readonly string[]): Record<string, string> {
  const guess = new Map<string, string>();
  const take = (field: string, fits: (title: string) => boolean) => {
    if ([...guess.values()].includes(field)) return;
    const title = titles.find((t) => !guess.has(t) && fits(t));
    if (title !== undefined) guess.set(title, field);
  };
  const fields = fieldsOf(table);
  for (const field of fields) take(field, (title) => title === field);
  for (const field of fields) take(field, (title) => bare(title) === bare(field));
  for (const field of fields)
    for (const word of (field === 'key' ? KEY_WORDS[table] : WORDS[field]) ?? []) take(field, (t) => bare(t) === word);
  return Object.fromEntries(titles.map((title) => [title, guess.get(title) ?? '']));
}
