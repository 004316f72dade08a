// Writes schema/*.json from the schemas in src/records. Run after a change there: node --import tsx tools/write-schema.ts
import { mkdirSync, writeFileSync } from 'node:fs';
import { jsonSchemas } from '../src/records/index.ts';

const folder = new URL('../schema/', import.meta.url);
mkdirSync(folder, { recursive: true });
for (const [name, schema] of Object.entries(jsonSchemas())) {
  writeFileSync(new URL(`${name}.schema.json`, folder), `${JSON.stringify(schema, undefined, 2)}\n`);
}
