/** Looking a key path up in the schema of a file: which keys exist there, and of what type. */
import type { z } from 'zod';

type Schema = z.core.$ZodType;

/** What can be said of a key path. */
export interface SchemaNode {
  /** Keys allowed below; empty for a leaf. */
  readonly keys: readonly string[];
  /** How text from the environment or a flag is to be read. */
  readonly type: 'string' | 'number' | 'boolean' | 'array' | 'table' | 'mixed';
}

/** Null when nothing of that name exists. A number steps into a list. */
export function nodeAt(root: Schema, path: readonly PropertyKey[]): SchemaNode | null {
  let here = alternatives(root);
  for (const key of path) {
    here = here.flatMap(schema => {
      const child = typeof key === 'number' ? elementOf(schema) : shapeOf(schema)?.[String(key)];
      return child ? alternatives(child) : [];
    });
    if (here.length === 0) return null;
  }
  const keys = [...new Set(here.flatMap(schema => Object.keys(shapeOf(schema) ?? {})))];
  const types = new Set(here.map(typeOf));
  return { keys, type: types.size === 1 ? [...types][0]! : 'mixed' };
}

/** The schemas behind defaults, options, pipes and unions. */
function alternatives(schema: Schema): Schema[] {
  const { def } = schema._zod;
  if ('options' in def && Array.isArray(def.options)) return (def.options as Schema[]).flatMap(alternatives);
  if ('innerType' in def) return alternatives(def.innerType as Schema);
  if (def.type === 'pipe' && 'in' in def) return alternatives(def.in as Schema);
  return [schema];
}

function elementOf(schema: Schema): Schema | null {
  const { def } = schema._zod;
  return def.type === 'array' && 'element' in def ? (def.element as Schema) : null;
}

function shapeOf(schema: Schema): Record<string, Schema> | null {
  const { def } = schema._zod;
  return 'shape' in def ? (def.shape as Record<string, Schema>) : null;
}

function typeOf(schema: Schema): SchemaNode['type'] {
  const { type } = schema._zod.def;
  if (type === 'object') return 'table';
  if (type === 'int' || type === 'number') return 'number';
  if (type === 'boolean' || type === 'array') return type;
  return type === 'string' || type === 'enum' ? 'string' : 'mixed';
}
