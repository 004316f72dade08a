/** Fields of a form, read from the JSON Schema that editors use too: kind, limits, choices and what each is for. */
import { jsonSchemas } from '../../records/index.ts';
import type { Path } from '../../records/loose.ts';

export type FieldKind = 'number' | 'whole' | 'choice' | 'yes-no' | 'text' | 'monthly' | 'other';

export interface Field {
  readonly path: Path;
  /** Last key, e.g. `capacity_mAh`. */
  readonly key: string;
  readonly kind: FieldKind;
  /** Besides its own kind, may it be twelve values? */
  readonly monthly: boolean;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly choices?: readonly string[];
  readonly description: string;
  /** What holds when the field is absent. */
  readonly fallback?: unknown;
}

interface Node {
  readonly type?: string;
  readonly enum?: readonly unknown[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly default?: unknown;
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
  readonly minItems?: number;
  readonly anyOf?: readonly Node[];
}

const branchesOf = (node: Node): readonly Node[] => [node, ...(node.anyOf ?? [])];

function nodeAt(root: Node, path: Path): Node | undefined {
  let here: Node | undefined = root;
  for (const part of path) {
    let next: Node | undefined;
    for (const branch of branchesOf(here!))
      next ??= typeof part === 'number' ? branch.items : branch.properties?.[part];
    if (next === undefined) return undefined;
    here = next;
  }
  return here;
}

function kindOf(node: Node): FieldKind {
  if (node.enum !== undefined) return 'choice';
  switch (node.type) {
    case 'number':
      return 'number';
    case 'integer':
      return 'whole';
    case 'boolean':
      return 'yes-no';
    case 'string':
      return 'text';
    case 'array':
      return node.items?.type === 'number' ? 'monthly' : 'other';
  }
  return 'other';
}

/** Reads fields of one kind of record; the schemas are written once. */
export function fieldReader(kind: 'kit' | 'perch' | 'net') {
  const root = jsonSchemas()[kind] as Node;
  return (path: Path): Field => {
    const node = nodeAt(root, path);
    if (node === undefined) throw new RangeError(`no field ${path.join('.')} in the schema of a ${kind}`);
    const options = (node.anyOf ?? [node]).map((option) => ({ option, kind: kindOf(option) }));
    const scalar = options.find((o) => o.kind !== 'other' && o.kind !== 'monthly') ?? options[0]!;
    const list = options.find((o) => o.kind === 'monthly');
    const main = scalar.kind === 'other' && list !== undefined ? list : scalar;
    const limits = main.kind === 'monthly' ? main.option.items! : main.option;
    return {
      path,
      key: String(path.findLast((part) => typeof part === 'string') ?? ''),
      kind: main.kind,
      monthly: list !== undefined,
      description: node.description ?? '',
      ...(limits.minimum === undefined ? {} : { minimum: limits.minimum }),
      ...(limits.maximum === undefined ? {} : { maximum: limits.maximum }),
      ...(main.option.enum === undefined ? {} : { choices: main.option.enum.map(String) }),
      ...(node.default === undefined ? {} : { fallback: node.default }),
    };
  };
}
