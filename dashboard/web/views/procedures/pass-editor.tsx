import { LIMITED_QUANTITIES } from '#core/procedure/limit-units';
import { More } from '../../parts/more.tsx';
import { text } from '../../text/text.ts';
import {
  addLimit,
  copyPass,
  movePass,
  removeLimit,
  removePass,
  withLimit,
  withPassField,
} from './draft-changes.ts';
import { EditField } from './edit-fields.tsx';
import { LimitEditor } from './limit-editor.tsx';
import { limitFieldId, type PassDraft, type ProcedureDraft, passFieldId } from './procedure-draft.ts';
import { type FieldSpec, PASS_FIELDS } from './procedure-fields.ts';

interface PassEditorProps {
  readonly pass: PassDraft;
  readonly place: number;
  readonly of: number;
  readonly draft: ProcedureDraft;
  readonly open: boolean;
  /** Texts by the id of the input. */
  readonly errors: ReadonlyMap<string, string>;
  readonly change: (next: ProcedureDraft) => void;
}

const NAMED = PASS_FIELDS.filter(({ required }) => required === true);
const REST = PASS_FIELDS.filter(({ required }) => required !== true);

/** The next quantity a pass has no limit on yet. */
const nextQuantity = (pass: PassDraft) =>
  LIMITED_QUANTITIES.find(quantity => !pass.limits.some(limit => limit.quantity === quantity)) ??
  'weldingCurrent';

/** Every input of a pass, so that one with something wrong in it stands open. */
const idsOf = (pass: PassDraft, specs: readonly FieldSpec[]): readonly string[] => [
  ...specs.map(({ path }) => passFieldId(pass.key, path)),
];

export function PassEditor({ pass, place, of, draft, open, errors, change }: PassEditorProps) {
  const t = text.value.procedures.edit;
  const error = (id: string): string | null => errors.get(id) ?? null;
  const wrongIn = (ids: readonly string[]): boolean => ids.some(id => errors.has(id));
  const wrongLimit = pass.limits.some(({ key }) =>
    [...errors.keys()].some(id => id.startsWith(limitFieldId(key, ''))),
  );
  const field = (spec: FieldSpec) => (
    <EditField
      key={spec.path}
      id={passFieldId(pass.key, spec.path)}
      spec={spec}
      value={pass.fields[spec.path] ?? ''}
      system={draft.system}
      error={error(passFieldId(pass.key, spec.path))}
      change={value => change(withPassField(draft, pass.key, spec.path, value))}
    />
  );
  const name = pass.fields['name']?.trim() ?? '';
  const shown = t.pass(String(place), name === '' ? t.unnamedPass : name);
  return (
    <More
      class="pass-edit"
      open={open || wrongLimit || wrongIn(idsOf(pass, PASS_FIELDS))}
      label={
        <>
          {shown}
          <span class="limit-count">{t.limitsCount(pass.limits.length)}</span>
        </>
      }
    >
      <div class="field-grid">{NAMED.map(field)}</div>
      {pass.limits.map(limit => (
        <LimitEditor
          key={limit.key}
          limit={limit}
          system={draft.system}
          error={error}
          change={part => change(withLimit(draft, pass.key, limit.key, part))}
          remove={() => change(removeLimit(draft, pass.key, limit.key))}
        />
      ))}
      <div class="form-actions">
        <button type="button" onClick={() => change(addLimit(draft, pass.key, nextQuantity(pass)))}>
          {t.addLimit}
        </button>
      </div>
      <More open={wrongIn(idsOf(pass, REST))} label={t.passFields}>
        <div class="field-grid">{REST.map(field)}</div>
      </More>
      <div class="form-actions">
        <button type="button" onClick={() => change(copyPass(draft, pass.key))}>
          {t.copyPass}
        </button>
        <button type="button" disabled={place === 1} onClick={() => change(movePass(draft, pass.key, -1))}>
          {t.earlier}
        </button>
        <button type="button" disabled={place === of} onClick={() => change(movePass(draft, pass.key, 1))}>
          {t.later}
        </button>
        <button type="button" disabled={of === 1} onClick={() => change(removePass(draft, pass.key))}>
          {t.removePass}
        </button>
      </div>
    </More>
  );
}
