/** Looking into a schema: which keys stand at a path, what a field is for, where a key belongs. */
import * as z from 'zod';
import type { Path } from './loose.ts';

/** The schemas without their wrappers; a union gives each of its branches. */
export function branches(schema: z.core.$ZodType): z.core.$ZodType[] {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodDefault) return branches(schema.def.innerType);
  if (schema instanceof z.ZodUnion) return schema.options.flatMap(branches);
  return [schema];
}

/** The schema of a field, wrappers and description included; the first branch that has it. */
export function schemaAt(root: z.core.$ZodType, path: Path): z.core.$ZodType | undefined {
  let here: z.core.$ZodType | undefined = root;
  for (const part of path) {
    let next: z.core.$ZodType | undefined;
    for (const branch of branches(here)) {
      if (typeof part === 'number' && branch instanceof z.ZodArray) next ??= branch.element;
      else if (typeof part === 'string' && branch instanceof z.ZodObject && Object.hasOwn(branch.shape, part))
        next ??= branch.shape[part];
    }
    if (next === undefined) return undefined;
    here = next;
  }
  return here;
}

/** Known keys of the mapping at a path. */
export function keysAt(root: z.core.$ZodType, path: Path): string[] {
  const schema = schemaAt(root, path);
  if (schema === undefined) return [];
  return branches(schema).flatMap((branch) => (branch instanceof z.ZodObject ? Object.keys(branch.shape) : []));
}

/** Description of the field at a path, from the outermost wrapper that has one. */
export function describeAt(root: z.core.$ZodType, path: Path): string | undefined {
  let schema = schemaAt(root, path);
  while (schema !== undefined) {
    const found = z.globalRegistry.get(schema)?.description;
    if (found !== undefined) return found;
    schema = schema instanceof z.ZodOptional || schema instanceof z.ZodDefault ? schema.def.innerType : undefined;
  }
  return undefined;
}

/** The mappings in which a key is known: `['panel']` for `power_W`, `['']` for the record itself. */
export function homesOf(root: z.core.$ZodType, key: string): string[] {
  const homes = new Set<string>();
  const look = (schema: z.core.$ZodType, at: string) => {
    for (const branch of branches(schema)) {
      if (branch instanceof z.ZodArray) look(branch.element, at);
      if (!(branch instanceof z.ZodObject)) continue;
      if (Object.hasOwn(branch.shape, key)) homes.add(at);
      for (const [name, child] of Object.entries(branch.shape))
        look(child as z.core.$ZodType, at === '' ? name : `${at}.${name}`);
    }
  };
  look(root, '');
  return [...homes];
}
