import { useEffect, useState } from 'preact/hooks';
import { CHECK_NAMES } from '#core/journal/check-rules';
import type { Entry } from '#core/journal/entry';
import { useApp } from '../../app-context.ts';
import { readinessAt } from '../../data/readiness-store.ts';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { CheckState } from './check-state.tsx';
import { correctionText } from './correction-text.ts';
import { outcomeText } from './result-texts.ts';
import { failureText } from './save-block.tsx';
import { usePeople } from './use-people.ts';
import { verifyUrl } from './verify-route.ts';

interface CheckListProps {
  readonly site: string;
  readonly rig: string;
}

/** Every check of a rig as it stands, the corrections in force, and what was done here before. */
export function CheckList({ site, rig }: CheckListProps) {
  const { api, readiness, rigs } = useApp();
  const t = text.value;
  const v = t.verify;
  const people = usePeople();
  const said = readiness.of(site, rig);
  const now = said === null ? null : readinessAt(said, rigs.nowMs.value);
  const [history, setHistory] = useState<readonly Entry[] | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  // Read again whenever the server says something new of this rig.
  useEffect(() => {
    api.entries({ subject: `rig ${site}/${rig}`, limit: '50' }).then(
      page => {
        setHistory(page.entries.filter(({ body }) => ['verification', 'correction'].includes(body.kind)));
        setFailure(null);
      },
      (error: unknown) => setFailure(error instanceof Error && error.message !== '' ? error.message : ''),
    );
  }, [api, site, rig, said]);
  return (
    <section class="sheet form-sheet verify">
      <p class="form-actions">
        <a class="button" href="#/ready">
          {v.toReady}
        </a>
      </p>
      <h1>{v.listTitle(t.rig(rig))}</h1>
      <p class="ready-word" data-ready={now === null ? 'unknown' : now.ready ? 'yes' : 'no'}>
        {now === null ? v.readinessUnknown : now.ready ? v.ready : v.notReady}
      </p>
      <ul class="checks">
        {CHECK_NAMES.map(name => {
          const check = now?.checks.find(one => one.check === name) ?? null;
          return (
            <li key={name} class="check-row" data-state={check?.state ?? 'none'}>
              <div>
                <h2>
                  {v.names[name]} {check !== null && <CheckState state={check.state} />}
                </h2>
                <p>
                  {check === null || check.last === null
                    ? v.never
                    : `${outcomeText(check.last.outcome)}. ${v.byAt(people.nameOf(check.last.author), whenText(check.last.at))}`}
                </p>
                {check !== null && check.dueAt !== null && (
                  <p class="hint">
                    {(check.state === 'expired' ? v.wasUntil : v.until)(whenText(check.dueAt))}
                    {check.why !== null && ` – ${check.why}`}
                  </p>
                )}
              </div>
              <a class="button" href={verifyUrl({ site, rig, check: name })}>
                {v.open(v.names[name])}
              </a>
            </li>
          );
        })}
      </ul>
      <h2>{v.correctionsTitle}</h2>
      {now === null || now.corrections.length === 0 ? (
        <p>{v.correctionsNone}</p>
      ) : (
        <ul>
          {now.corrections.map(one => (
            <li key={one.channel}>{correctionText(one, people.nameOf)}</li>
          ))}
        </ul>
      )}
      <h2>{v.historyTitle}</h2>
      {failure !== null && (
        <p class="message out">{v.historyFailed(failure === '' ? failureText(null) : failure)}</p>
      )}
      {history !== null && history.length === 0 && <p>{v.historyNone}</p>}
      {history !== null && history.length > 0 && (
        <ol class="history">
          {history.map(entry => (
            <li key={entry.id}>
              <strong>{whenText(entry.at)}</strong> <HistoryLine entry={entry} nameOf={people.nameOf} />
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}

function HistoryLine({ entry, nameOf }: { readonly entry: Entry; readonly nameOf: (id: string) => string }) {
  const t = text.value;
  const v = t.verify;
  const { body } = entry;
  if (body.kind === 'verification') {
    const state = 'state' in body.outcome && body.outcome.state === 'asLeft' ? v.asLeft : v.asFound;
    return (
      <span>
        {v.names[body.outcome.check]}, {state.toLowerCase()}: {outcomeText(body.outcome)}.{' '}
        {nameOf(entry.author)}
      </span>
    );
  }
  if (body.kind !== 'correction') return null;
  return (
    <span>
      {v.correctionLine(
        t.quantity[body.channel] ?? body.channel,
        format().fixed(body.previous, 4),
        format().fixed(body.factor, 4),
        whenText(body.from),
      )}{' '}
      {entry.reason} {nameOf(entry.author)}
    </span>
  );
}
