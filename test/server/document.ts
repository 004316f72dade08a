import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import formats from 'ajv-formats';

export interface Operation {
  readonly summary?: string;
  readonly parameters?: readonly { readonly name: string; readonly in: string; readonly schema: object }[];
  readonly requestBody?: { readonly content: Record<string, { readonly schema: object }> };
  readonly responses: Record<string, { readonly content?: Record<string, { readonly schema: object }> }>;
}
export interface ApiDocument {
  readonly openapi: string;
  readonly paths: Record<string, Record<string, Operation>>;
  readonly components: { readonly schemas: Record<string, object> };
}

export function operations(document: ApiDocument) {
  return Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ method: method.toUpperCase(), path, operation })),
  );
}

/**
 * Judges answers by the served document: status and type have to be described, JSON has to fit its schema. The judge of
 * schemas is an independent one; the server itself never checks its answers.
 */
export function answerJudge(document: ApiDocument) {
  const ajv = new Ajv2020({ strict: false, allErrors: true });
  (formats as unknown as (ajv: Ajv2020) => void)(ajv);
  ajv.addSchema({ $id: 'document', components: document.components });
  const compiled = new Map<object, ValidateFunction>();
  const check = (schema: object, value: unknown): string[] => {
    const rewritten = JSON.parse(JSON.stringify(schema).replaceAll('"#/components', '"document#/components')) as object;
    const judge = compiled.get(schema) ?? ajv.compile(rewritten);
    compiled.set(schema, judge);
    return judge(value) ? [] : (judge.errors ?? []).map(({ instancePath, message }) => `${instancePath}: ${message}`);
  };
  const list = operations(document).map((entry) => ({
    ...entry,
    pattern: new RegExp(`^${entry.path.replace(/[.]/g, '\\.').replace(/\{[a-z]+\}/g, '[^/]+')}$`),
  }));
  return async (method: string, path: string, answer: Response): Promise<{ operation: string; problems: string[] }> => {
    // A path without a parameter goes before one that has it.
    const fitting = list.filter((entry) => entry.method === method && entry.pattern.test(path));
    const found = fitting.find((entry) => entry.path === path) ?? fitting[0];
    if (found === undefined) return { operation: '', problems: [`${method} ${path} is not described`] };
    const operation = `${found.method} ${found.path}`;
    const described = found.operation.responses[String(answer.status)];
    if (described === undefined) return { operation, problems: [`status ${answer.status} is not described`] };
    if (described.content === undefined) return { operation, problems: [] };
    const type = (answer.headers.get('content-type') ?? '').split(';')[0]!;
    const content = described.content[type];
    if (content === undefined) return { operation, problems: [`type ${type} is not described`] };
    return { operation, problems: type === 'application/json' ? check(content.schema, await answer.json()) : [] };
  };
}
