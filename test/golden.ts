import { readFileSync } from 'node:fs';
import Papa from 'papaparse';

export interface Golden {
  readonly source: string;
  readonly tolerance: string;
  readonly rows: Record<string, string>[];
}

/** Reads test/golden/NAME: comment lines `# source: …` and `# tolerance: …`, then a CSV with a title row. */
export function readGolden(name: string): Golden {
  const text = readFileSync(new URL(`./golden/${name}`, import.meta.url), 'utf8');
  const lines = text.split('\n');
  const pick = (key: string) => {
    const line = lines.find((l) => l.startsWith(`# ${key}:`));
    if (line === undefined) throw new Error(`test/golden/${name} has no '# ${key}:' line`);
    return line.slice(key.length + 3).trim();
  };
  const body = lines.filter((l) => !l.startsWith('#') && l.trim() !== '').join('\n');
  const parsed = Papa.parse<Record<string, string>>(body, { header: true });
  if (parsed.errors.length > 0) throw new Error(`test/golden/${name}: ${parsed.errors[0]?.message}`);
  return { source: pick('source'), tolerance: pick('tolerance'), rows: parsed.data };
}
