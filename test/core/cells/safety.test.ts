import { describe, expect, it } from 'vitest';
import { CAUTION_END, cautionOf, cautions } from '../../../src/core/cells/index.ts';

describe('cautions', () => {
  it('cover what the design asks for, once each', () => {
    const codes = cautions().map((c) => c.code);
    expect(new Set(codes).size).toBe(codes.length);
    // The list in the design: cold, damaged or mixed cells, box in the sun, shipping, height, lightning, lines, radio.
    expect(codes.length).toBe(8);
  });

  it('each say when, and end by telling who decides', () => {
    for (const { code, when, text, title } of cautions()) {
      expect(text.endsWith(CAUTION_END)).toBe(true);
      expect(when).not.toBe('');
      expect(title).not.toBe('');
      expect(cautionOf(code).text).toBe(text);
    }
  });

  it('keep the figures of the transport rules', () => {
    // UN 3480 / 3481, UN 38.3, 20 Wh, 100 Wh, 30 %: confirmed in public transport guidance texts.
    for (const figure of ['UN 3480', 'UN 3481', 'UN 38.3', '20 Wh', '100 Wh', '30 %'])
      expect(cautionOf('shipping-charge').text).toContain(figure);
    expect(cautionOf('charging-below-freezing').text).toContain('0 °C');
  });
});
