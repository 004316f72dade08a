// source: the issue "The bench": import with a mapping step; titles as offices write them: common practice, no source
import { describe, expect, it } from 'vitest';
import { guessColumns } from '../../../src/app/bench/columns.ts';

describe('which column is which field', () => {
  it('takes a field by its own name, then by words of the office', () => {
    expect(guessColumns('parts', ['Part no.', 'Description', 'Bin', 'Notes'])).toEqual({
      'Part no.': 'key',
      Description: 'name',
      Bin: '',
      Notes: 'note',
    });
    expect(guessColumns('lots', ['Lot', 'Part no', 'Qty', 'Vendor', 'Currency', 'Total', 'Shipping'])).toEqual({
      Lot: 'key',
      'Part no': 'part',
      Qty: 'count',
      Vendor: 'supplier',
      Currency: 'currency',
      Total: 'goods',
      Shipping: 'freight',
    });
    // Both could be the key: the one that is called so is.
    expect(guessColumns('orders', ['ID', 'key', 'Client', 'Unit price'])).toEqual({
      ID: '',
      key: 'key',
      Client: 'customer',
      'Unit price': 'price',
    });
  });

  it('gives no field twice', () => {
    expect(guessColumns('parts', ['Description', 'Title', 'constructor'])).toEqual({
      Description: 'name',
      Title: '',
      constructor: '',
    });
  });
});
