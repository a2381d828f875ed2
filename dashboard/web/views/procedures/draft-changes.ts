import type { LimitedQuantity } from '#core/procedure/limit-units';
import {
  emptyLimit,
  emptyPass,
  LIMIT_NUMBERS,
  type LimitDraft,
  limitFieldId,
  type Original,
  type PassDraft,
  type ProcedureDraft,
  passFieldId,
} from './procedure-draft.ts';
import { PASS_FIELDS } from './procedure-fields.ts';

/** Changes of a draft, each a new draft. */
export const withField = (draft: ProcedureDraft, path: string, value: string): ProcedureDraft => ({
  ...draft,
  fields: { ...draft.fields, [path]: value },
});

const withPasses = (draft: ProcedureDraft, passes: readonly PassDraft[]): ProcedureDraft => ({
  ...draft,
  passes,
});

const changePass = (
  draft: ProcedureDraft,
  key: number,
  change: (pass: PassDraft) => PassDraft,
): ProcedureDraft =>
  withPasses(
    draft,
    draft.passes.map(pass => (pass.key === key ? change(pass) : pass)),
  );

export const withPassField = (
  draft: ProcedureDraft,
  key: number,
  path: string,
  value: string,
): ProcedureDraft => changePass(draft, key, pass => ({ ...pass, fields: { ...pass.fields, [path]: value } }));

export const withLimit = (
  draft: ProcedureDraft,
  passKey: number,
  key: number,
  part: Partial<LimitDraft>,
): ProcedureDraft =>
  changePass(draft, passKey, pass => ({
    ...pass,
    limits: pass.limits.map(limit => (limit.key === key ? { ...limit, ...part } : limit)),
  }));

export const addPass = (draft: ProcedureDraft): ProcedureDraft => ({
  ...withPasses(draft, [...draft.passes, emptyPass(draft.nextKey)]),
  nextKey: draft.nextKey + 1,
});

export const removePass = (draft: ProcedureDraft, key: number): ProcedureDraft =>
  withPasses(
    draft,
    draft.passes.filter(pass => pass.key !== key),
  );

/** A pass moved by one place; at an end it stays. */
export function movePass(draft: ProcedureDraft, key: number, by: -1 | 1): ProcedureDraft {
  const from = draft.passes.findIndex(pass => pass.key === key);
  const to = from + by;
  if (from < 0 || to < 0 || to >= draft.passes.length) return draft;
  const passes = [...draft.passes];
  const [pass] = passes.splice(from, 1);
  passes.splice(to, 0, pass!);
  return withPasses(draft, passes);
}

/** The same pass again after it, without its name, which stands for one pass only. */
export function copyPass(draft: ProcedureDraft, key: number): ProcedureDraft {
  const at = draft.passes.findIndex(pass => pass.key === key);
  const pass = draft.passes[at];
  if (pass === undefined) return draft;
  let next = draft.nextKey;
  const originals: Record<string, Original> = { ...draft.originals };
  const carry = (from: string, to: string): void => {
    const original = draft.originals[from];
    if (original !== undefined) originals[to] = original;
  };
  const passKey = next++;
  for (const { path } of PASS_FIELDS) carry(passFieldId(key, path), passFieldId(passKey, path));
  const limits = pass.limits.map(limit => {
    const limitKey = next++;
    for (const name of LIMIT_NUMBERS) carry(limitFieldId(limit.key, name), limitFieldId(limitKey, name));
    return { ...limit, key: limitKey };
  });
  const copy: PassDraft = { key: passKey, fields: { ...pass.fields, name: '' }, limits };
  const passes = draft.passes.toSpliced(at + 1, 0, copy);
  return { ...draft, passes, originals, nextKey: next };
}

export const addLimit = (
  draft: ProcedureDraft,
  passKey: number,
  quantity: LimitedQuantity,
): ProcedureDraft => ({
  ...changePass(draft, passKey, pass => ({
    ...pass,
    limits: [...pass.limits, emptyLimit(draft.nextKey, quantity, draft.system)],
  })),
  nextKey: draft.nextKey + 1,
});

export const removeLimit = (draft: ProcedureDraft, passKey: number, key: number): ProcedureDraft =>
  changePass(draft, passKey, pass => ({ ...pass, limits: pass.limits.filter(limit => limit.key !== key) }));
