import { useEffect, useState } from 'preact/hooks';
import type { Judgement, PassJournal } from '#core/messages/api-pass-journal';
import type { Verdict } from '#core/messages/pass';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { displays, format, text } from '../../text/text.ts';

function verdictWords(verdict: Verdict): string {
  const t = text.value.joints;
  const display = displays()[verdict.quantity];
  if (verdict.value === null)
    return verdict.reason === null ? t.verdictState[verdict.state] : said(verdict.reason);
  const value = display === undefined ? verdict.value : display.shown(verdict.value);
  const shown = format().fixed(value, display?.decimals ?? 2);
  return t.verdictLine(t.verdictState[verdict.state], shown, display?.unit ?? '');
}

const keyOf = ({ quantity, basis }: Pick<Verdict, 'quantity' | 'basis'>): string => `${quantity}/${basis}`;

interface VerdictCompareProps {
  readonly passId: string;
  /** The entry that moved it to where it stands. */
  readonly entryId: string;
}

/** The verdicts of the sealed record, and those of the pass it counts as now. Both are kept; read when opened. */
export function VerdictCompare({ passId, entryId }: VerdictCompareProps) {
  const { api } = useApp();
  const j = text.value.joints;
  const [open, setOpen] = useState(false);
  const [journal, setJournal] = useState<PassJournal | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  useEffect(() => {
    if (!open || journal !== null) return;
    api.get<PassJournal>(['passes', passId, 'journal']).then(setJournal, (error: unknown) => {
      setFailure(error instanceof Error && error.message !== '' ? error.message : j.unreachable);
    });
  }, [api, passId, open, journal, j]);
  const recorded = journal?.judgements.find(({ basis }) => basis === 'recorded');
  const now = journal?.judgements.find(one => one.entryId === entryId);
  return (
    <details class="more compare" onToggle={event => setOpen(event.currentTarget.open)}>
      <summary>{j.verdictsOpen}</summary>
      {failure !== null && journal === null && <p class="message nodata">{failure}</p>}
      {journal === null && failure === null && <p>{j.loading}</p>}
      {journal !== null && (
        <>
          <p class="hint">{j.verdictsNote}</p>
          {now?.notes.map(note => (
            <p key={note}>{note}</p>
          ))}
          {now !== undefined && now.at !== null && (
            <p class="hint">{j.judgedAt(whenText(now.at), now.software ?? '')}</p>
          )}
          <Verdicts recorded={recorded?.verdicts ?? []} now={now ?? null} />
        </>
      )}
    </details>
  );
}

interface VerdictsProps {
  readonly recorded: readonly Verdict[];
  readonly now: Judgement | null;
}

function Verdicts({ recorded, now }: VerdictsProps) {
  const t = text.value;
  const j = t.joints;
  const before = new Map(recorded.map(verdict => [keyOf(verdict), verdict]));
  const after = new Map((now?.verdicts ?? []).map(verdict => [keyOf(verdict), verdict]));
  const cell = (verdict: Verdict | undefined, label: string) => (
    <td data-label={label} data-verdict={verdict?.state ?? 'none'}>
      {verdict === undefined ? j.verdictNone : verdictWords(verdict)}
    </td>
  );
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{j.verdictsColumns.limit}</th>
          <th scope="col">{j.verdictsColumns.recorded}</th>
          <th scope="col">{j.verdictsColumns.now}</th>
        </tr>
      </thead>
      <tbody>
        {[...new Set([...before.keys(), ...after.keys()])].map(key => {
          const limit = before.get(key) ?? after.get(key);
          if (limit === undefined) return null;
          return (
            <tr key={key}>
              <th scope="row">
                {t.quantity[limit.quantity] ?? limit.quantity}, {t.basis[limit.basis]}
              </th>
              {cell(before.get(key), j.verdictsColumns.recorded)}
              {cell(after.get(key), j.verdictsColumns.now)}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
