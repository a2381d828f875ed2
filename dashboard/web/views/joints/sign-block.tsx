import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import type { People } from '../verify/use-people.ts';
import { type Who, WhoField } from '../verify/who-field.tsx';

export interface Sign extends Who {
  readonly reason: string;
  readonly shiftDate: string;
}

interface SignBlockProps {
  readonly sign: Sign;
  readonly change: (part: Partial<Sign>) => void;
  readonly people: People;
  /** Label of the reason; null where none is asked. */
  readonly reason: string | null;
  readonly problems: Partial<Record<'who' | 'reason' | 'shiftDate', string>>;
  readonly failure: string | null;
  readonly busy: boolean;
  readonly submit: string;
  readonly cancelUrl: string;
}

export function signProblems(
  sign: Sign,
  named: boolean,
  needsReason: boolean,
): Partial<Record<'who' | 'reason' | 'shiftDate', string>> {
  const { missing } = text.value.jointEntries;
  return {
    ...(needsReason && sign.reason.trim() === '' ? { reason: missing.reason } : {}),
    ...(named ? {} : { who: missing.who }),
    ...(/^\d{4}-\d{2}-\d{2}$/.test(sign.shiftDate) ? {} : { shiftDate: missing.shiftDate }),
  };
}

/** Why, by whom, for which shift, and the button that makes it an entry. */
export function SignBlock(props: SignBlockProps) {
  const { sign, change, people, reason, problems, failure, busy, submit, cancelUrl } = props;
  const t = text.value.jointEntries;
  return (
    <>
      {reason !== null && (
        <TypedField
          id="reason"
          label={reason}
          value={sign.reason}
          kind="text"
          max={500}
          error={problems.reason ?? null}
          type={value => change({ reason: value })}
        />
      )}
      <WhoField
        id="who"
        label={t.who}
        value={sign}
        people={people.all}
        error={problems.who ?? null}
        change={change}
      />
      <TypedField
        id="shift-date"
        label={t.shiftDate}
        hint={t.shiftDateHint}
        value={sign.shiftDate}
        kind="date"
        error={problems.shiftDate ?? null}
        type={shiftDate => change({ shiftDate })}
      />
      <div role="alert">
        {failure !== null && (
          <p class="message out">
            {failure} {t.kept}
          </p>
        )}
      </div>
      <div class="form-actions">
        <button class="primary save" type="submit" disabled={busy}>
          {busy ? t.saving : submit}
        </button>
        <a class="button" href={cancelUrl}>
          {t.cancel}
        </a>
      </div>
    </>
  );
}
