/** Values that a JSON schema (2020-12, as zod writes it) allows, by chance. */
import type { Dice } from './dice.ts';

export type JsonSchema = { readonly [key: string]: unknown };

/** Texts tried against a pattern, until one fits. */
const TEXTS: readonly string[] = [
  'rig-a',
  'spread-1/rig-a',
  '0123456789abcdef'.repeat(2),
  '0123456789abcdef'.repeat(4),
  '0123456789abcdef'.repeat(8),
  '2026-05-12T08:00:00.000Z',
  '2026-05-12T08:00:00Z',
  '2026-05-12',
  '12',
  'AAAA',
];
const LONGEST_LIST = 3;

/** What stands instead of chance: by the name of a property, and as any text that is free. */
export interface Chosen {
  readonly named?: Readonly<Record<string, unknown>>;
  /** Cut to the length that is allowed. */
  readonly text?: string;
}

export class SchemaValues {
  private readonly dice: Dice;
  private readonly root: JsonSchema;
  private readonly chosen: Chosen;

  /** `root`: where `$ref` points into. */
  constructor(dice: Dice, root: JsonSchema, chosen: Chosen = {}) {
    this.dice = dice;
    this.root = root;
    this.chosen = chosen;
  }

  of(schema: JsonSchema, depth = 0): unknown {
    const { dice } = this;
    if (typeof schema['$ref'] === 'string') return this.of(this.referred(schema['$ref']), depth + 1);
    if ('const' in schema) return schema['const'];
    if (Array.isArray(schema['enum'])) return dice.pick(schema['enum'] as unknown[]);
    for (const key of ['anyOf', 'oneOf', 'allOf']) {
      const choices = schema[key] as readonly JsonSchema[] | undefined;
      // Deep in, the last choice: it is the one that ends, such as null.
      if (choices) return this.of(depth > 8 ? choices.at(-1)! : dice.pick(choices), depth + 1);
    }
    const { type } = schema;
    switch (Array.isArray(type) ? dice.pick(type) : type) {
      case 'object':
        return this.object(schema, depth);
      case 'array':
        return this.array(schema, depth);
      case 'string':
        return this.string(schema);
      case 'integer':
        return Math.round(this.number(schema));
      case 'number':
        return this.number(schema);
      case 'boolean':
        return dice.chance(0.5);
      case 'null':
        return null;
      default:
        return {};
    }
  }

  private object(schema: JsonSchema, depth: number): unknown {
    const properties = (schema['properties'] ?? {}) as Record<string, JsonSchema>;
    const required = new Set((schema['required'] ?? []) as string[]);
    return Object.fromEntries(
      Object.entries(properties)
        .filter(([key]) => required.has(key) || (depth < 6 && this.dice.chance(0.5)))
        .map(([key, one]) => [key, this.named(key) ?? this.of(one, depth + 1)]),
    );
  }

  private named(key: string): unknown {
    const { named = {} } = this.chosen;
    return Object.hasOwn(named, key) ? named[key] : undefined;
  }

  private array(schema: JsonSchema, depth: number): unknown {
    const tuple = schema['prefixItems'] as readonly JsonSchema[] | undefined;
    if (tuple) return tuple.map(one => this.of(one, depth + 1));
    const least = Number(schema['minItems'] ?? 0);
    const most =
      depth > 6 ? least : Math.min(Number(schema['maxItems'] ?? LONGEST_LIST), least + LONGEST_LIST);
    const length = least + this.dice.below(most - least + 1);
    return Array.from({ length }, () => this.of((schema['items'] ?? {}) as JsonSchema, depth + 1));
  }

  private string(schema: JsonSchema): string {
    const { pattern, contentEncoding } = schema;
    if (contentEncoding === 'base64') return this.dice.pick(['', 'AAAA', 'AQIDBA==']);
    if (typeof pattern === 'string') {
      const expression = new RegExp(pattern);
      return TEXTS.find(text => expression.test(text)) ?? 'x';
    }
    const least = Number(schema['minLength'] ?? 0);
    if (this.chosen.text !== undefined) return this.chosen.text.slice(0, Number(schema['maxLength'] ?? 500));
    const most = Math.min(Number(schema['maxLength'] ?? 20), least + 20);
    return Array.from({ length: least + this.dice.below(most - least + 1) }, () =>
      this.dice.pick(['a', 'B', '3', ' ', '-', 'é']),
    ).join('');
  }

  private number(schema: JsonSchema): number {
    const least = Number(schema['minimum'] ?? schema['exclusiveMinimum'] ?? -1000);
    const most = Number(schema['maximum'] ?? schema['exclusiveMaximum'] ?? Math.max(least, 0) + 2000);
    if (this.dice.chance(0.1)) return least;
    if (this.dice.chance(0.1)) return most;
    return least + ((most - least) * this.dice.below(1_000_001)) / 1_000_000;
  }

  private referred(pointer: string): JsonSchema {
    let at: unknown = this.root;
    for (const part of pointer.split('/').slice(1)) at = (at as Record<string, unknown>)[part];
    return at as JsonSchema;
  }
}
