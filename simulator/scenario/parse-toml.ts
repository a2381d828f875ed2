import { parse, TomlError } from 'smol-toml';
import type { z } from 'zod';
import { didYouMean } from '#core/program/did-you-mean';
import { nodeAt } from '#core/program/schema-walk';
import { short } from '#core/program/short';
import { tomlLine } from './toml-line.ts';

/** A TOML document, or one sentence saying what is wrong with it and where. */
export type Parsed<T> = { readonly data: T } | { readonly problem: string };

/** `name` stands for the text in the sentence. */
export function parseToml<S extends z.ZodType>(schema: S, text: string, name: string): Parsed<z.output<S>> {
  let document: unknown;
  try {
    document = parse(text);
  } catch (error) {
    const [first = ''] = (error as Error).message.split('\n');
    const line = error instanceof TomlError ? error.line : null;
    return { problem: `${place(name, line)}: ${first.replace(/^Invalid TOML document: /, '')}` };
  }
  const parsed = schema.safeParse(document);
  if (parsed.success) return { data: parsed.data };
  return { problem: firstProblem(schema, parsed.error, text, name) };
}

export function place(name: string, line: number | null): string {
  return line === null ? name : `${name}:${line}`;
}

/** The first of the issues as a sentence with file, line and key. */
export function firstProblem(schema: z.ZodType, error: z.ZodError, text: string, name: string): string {
  // A key that is spelt wrong is also one that is missing: the spelling says more.
  const issue = error.issues.find(({ code }) => code === 'unrecognized_keys') ?? error.issues[0]!;
  const more = error.issues.length > 1 ? ` (and ${error.issues.length - 1} more)` : '';
  if (issue.code === 'unrecognized_keys') {
    const key = issue.keys[0]!;
    const near = didYouMean(key, nodeAt(schema, issue.path)?.keys ?? []);
    const hint = near === null ? '' : `; did you mean "${near}"?`;
    const at = place(name, tomlLine(text, [...issue.path, key]));
    return `${at}: unknown key "${[...issue.path, short(key)].join('.')}"${hint}${more}`;
  }
  const path = issue.path.join('.');
  const missing = /received undefined/.test(issue.message);
  const said = missing ? `${path} is missing` : `${path === '' ? '' : `${path}: `}${issue.message}`;
  return `${place(name, tomlLine(text, issue.path))}: ${said}${more}`;
}
