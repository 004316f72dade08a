import fc from 'fast-check';

type Schema = Record<string, unknown>;

// Made once: setting up an arbitrary of strings takes longer than drawing thousands from it.
const TEXT = fc.string();
const BINARY = fc.string({ unit: 'binary' });
const ID = fc.stringMatching(/^(kit|perch):[a-z0-9]{1,6}(-[a-z0-9]{1,6})?$/);
const DIGEST = fc.stringMatching(/^[0-9a-f]{64}$/);

/**
 * Values that a JSON Schema allows, roughly: types, choices, ranges, patterns, required and optional properties, references.
 * What it misses (relations between fields) only makes more of the values wrong, which is as welcome.
 */
export function fromSchema(schema: Schema, components: Record<string, object>, depth = 0): fc.Arbitrary<unknown> {
  const deeper = (child: unknown) => fromSchema((child ?? {}) as Schema, components, depth + 1);
  const reference = schema['$ref'];
  if (typeof reference === 'string') return deeper(components[reference.split('/').at(-1)!]);
  if (depth > 8) return fc.constant(null);
  if ('const' in schema) return fc.constant(schema['const']);
  if (Array.isArray(schema['enum'])) return fc.constantFrom(...(schema['enum'] as unknown[]));
  const choices = (schema['anyOf'] ?? schema['oneOf']) as Schema[] | undefined;
  // `anyOf` of required keys only is a relation, not a choice of types.
  if (choices?.some((choice) => Object.keys(choice).some((key) => key !== 'required')))
    return fc.oneof(...choices.map(deeper));
  const type = Array.isArray(schema['type']) ? (schema['type'] as string[])[0] : schema['type'];
  const low = (schema['minimum'] ?? -1e6) as number;
  const high = (schema['maximum'] ?? 1e6) as number;
  switch (type) {
    case 'object':
      return objectFrom(schema, deeper);
    case 'array': {
      const least = (schema['minItems'] ?? 0) as number;
      const most = Math.max(least, Math.min((schema['maxItems'] ?? 4) as number, least + 4));
      return fc.array(deeper(schema['items']), { minLength: least, maxLength: most });
    }
    case 'number':
      return fc.double({ min: low, max: high, noNaN: true });
    case 'integer':
      return fc.integer({ min: Math.max(low, -2e9), max: Math.min(high, 2e9) });
    case 'boolean':
      return fc.boolean();
    case 'null':
      return fc.constant(null);
    case 'string':
      return stringFrom(schema);
  }
  return fc.jsonValue({ maxDepth: 3 });
}

function stringFrom(schema: Schema): fc.Arbitrary<string> {
  if (schema['format'] === 'uuid') return fc.uuid();
  if (schema['format'] === 'date-time')
    return fc.constantFrom(
      '2020-02-29T23:59:59.999Z',
      '2024-06-01T12:00:00Z',
      '1999-12-31T00:00:00Z',
      '9999-12-31T23:59:59Z',
    );
  if (typeof schema['pattern'] === 'string') return fc.oneof(ID, DIGEST, TEXT);
  return fc.oneof(TEXT, BINARY, fc.constantFrom('', '1 in 20', '5 %', 'name: x\n', '[[['));
}

function objectFrom(schema: Schema, deeper: (child: unknown) => fc.Arbitrary<unknown>): fc.Arbitrary<unknown> {
  const properties = (schema['properties'] ?? {}) as Record<string, Schema>;
  const required = (schema['required'] ?? []) as string[];
  const fields = Object.fromEntries(Object.entries(properties).map(([key, child]) => [key, deeper(child)]));
  return fc.record(fields, { requiredKeys: required.filter((key) => key in properties) });
}

/** A value with something of it exchanged, taken away or added. */
export function bent(value: fc.Arbitrary<unknown>): fc.Arbitrary<unknown> {
  const odd = fc.oneof(
    fc.jsonValue({ maxDepth: 2 }),
    fc.constantFrom<unknown>(
      -1,
      0,
      1e308,
      -1e-320,
      '',
      '\u2028',
      '__proto__',
      'constructor',
      [],
      {},
      null,
      'a'.repeat(3000),
    ),
  );
  return fc
    .tuple(value, fc.array(fc.nat({ max: 30 }), { minLength: 1, maxLength: 6 }), odd, fc.nat({ max: 3 }))
    .map(([whole, way, piece, how]) => {
      const copy = structuredClone(whole);
      let here: unknown = copy;
      for (const [i, step] of way.entries()) {
        if (typeof here !== 'object' || here === null) break;
        const keys = Object.keys(here);
        const key = keys[step % Math.max(1, keys.length)];
        if (key === undefined) break;
        const child = (here as Record<string, unknown>)[key];
        if (i < way.length - 1 && typeof child === 'object' && child !== null) {
          here = child;
          continue;
        }
        if (how === 0) delete (here as Record<string, unknown>)[key];
        else if (how === 1 && !Array.isArray(here)) (here as Record<string, unknown>)[`${key}x`] = piece;
        else (here as Record<string, unknown>)[key] = piece;
        break;
      }
      return copy;
    });
}
