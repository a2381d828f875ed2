import { useState } from 'preact/hooks';
import type { Call, CallPage } from '#core/messages/api-watch';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { jointUrl } from '../joints/joint-routes.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';
import { type People, usePeople } from '../verify/use-people.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';
import { TrustFigures } from './trust-figures.tsx';
import { sentenceOf, useRead } from './use-read.ts';

const MARKS = ['real', 'notReal', 'unknown'] as const;

/** Calls of finished passes, newest first, each to be marked in one tap once it is said who marks. */
export function CallList() {
  const { api } = useApp();
  const t = text.value.changes;
  const people = usePeople();
  const [who, setWho] = useState<Who | null>(null);
  const [pages, setPages] = useState<readonly CallPage[]>([]);
  const [asked, setAsked] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const first = useRead('calls', () => api.get<CallPage>(['calls']));
  const all = [...(first.value === null ? [] : [first.value]), ...pages];
  const calls = all.flatMap(page => page.calls);
  const next = all.at(-1)?.next ?? null;
  const named = who ?? { who: people.lastWho, newName: '' };
  const [marked, setMarked] = useState<ReadonlyMap<string, Call['mark']>>(new Map());

  async function more(): Promise<void> {
    if (next === null) return;
    try {
      const page = await api.get<CallPage>(['calls'], { before: next });
      setPages(known => [...known, page]);
    } catch (error) {
      setFailure(t.failed(sentenceOf(error)));
    }
  }

  async function mark(call: Call, value: (typeof MARKS)[number]): Promise<void> {
    setAsked(true);
    if (!isNamed(named, people.all)) {
      document.querySelector<HTMLElement>('#mark-who')?.focus();
      return;
    }
    setFailure(null);
    try {
      const { passId, of, number } = call;
      const entry = await api.addEntry({
        author: await people.idOf(named),
        shiftDate: proposedShiftDate(new Date()),
        reason: null,
        corrects: null,
        body: { kind: 'callMark', passId, call: { of, number }, mark: value },
      });
      const { author, at, reason } = entry;
      setMarked(known => new Map(known).set(keyOf(call), { mark: value, author, at, reason }));
    } catch (error) {
      setFailure(t.calls.failed(sentenceOf(error)));
    }
  }

  return (
    <>
      <h1>{t.calls.title}</h1>
      <p>{t.calls.intro}</p>
      <TrustFigures version={marked.size} />
      <div class="form-sheet">
        <WhoField
          id="mark-who"
          label={t.calls.who}
          value={named}
          people={people.all}
          error={asked && !isNamed(named, people.all) ? t.calls.whoFirst : null}
          change={part => setWho({ ...named, ...part })}
        />
      </div>
      <div role="alert">
        {failure !== null && <p class="message out">{failure}</p>}
        {first.failure !== null && <p class="message nodata">{t.failed(first.failure)}</p>}
      </div>
      {first.value === null && first.failure === null && <p>{t.loading}</p>}
      {first.value !== null && calls.length === 0 && next === null && <p>{t.calls.none}</p>}
      <ul class="call-rows">
        {calls.map(call => (
          <CallRow
            key={keyOf(call)}
            call={{ ...call, mark: marked.get(keyOf(call)) ?? call.mark }}
            people={people}
            mark={value => void mark(call, value)}
          />
        ))}
      </ul>
      {next !== null && (
        <p>
          <button type="button" onClick={() => void more()}>
            {t.calls.more}
          </button>
        </p>
      )}
    </>
  );
}

const keyOf = ({ passId, of, number }: Call): string => `${passId} ${of} ${number}`;

interface CallRowProps {
  readonly call: Call;
  readonly people: People;
  readonly mark: (value: (typeof MARKS)[number]) => void;
}

function CallRow({ call, people, mark }: CallRowProps) {
  const t = text.value;
  const c = t.changes.calls;
  const { measure, value: shown } = format();
  const where = c.where(call.joint, call.side, call.pass);
  return (
    <li class="call-row" data-rule={call.rule}>
      <p class="call-head">
        <strong class="call-rule">{c.rule[call.rule]}</strong>{' '}
        {call.joint === null ? <bdi>{where}</bdi> : <a href={jointUrl(call.joint)}>{where}</a>}{' '}
        <span class="hint">
          {call.rig}, {whenText(call.at)}
        </span>{' '}
        {call.origin !== 'real' && <strong class="origin-mark">{t.origin[call.origin]}</strong>}
      </p>
      <p>
        {call.rule === 'outOfRange' && `${t.changes.quantity[call.quantity ?? ''] ?? call.quantity} `}
        <bdi>{said(call.text)}</bdi>
        {call.fromMm !== null && call.toMm !== null && (
          <span class="hint"> {c.place(shown('length', call.fromMm), measure('length', call.toMm))}</span>
        )}
      </p>
      {call.rule === 'trim' ? (
        <p class="hint">{c.trimNote}</p>
      ) : (
        <fieldset class="call-marks">
          <legend class="sr-only">{c.markOf(`${c.rule[call.rule]}, ${where}`)}</legend>
          {MARKS.map(value => (
            <button
              key={value}
              type="button"
              aria-pressed={call.mark?.mark === value}
              onClick={() => mark(value)}
            >
              {c.mark[value]}
            </button>
          ))}
        </fieldset>
      )}
      {call.mark !== null && (
        <p class="hint" role="status">
          {c.marked(c.mark[call.mark.mark], people.nameOf(call.mark.author), whenText(call.mark.at))}
        </p>
      )}
    </li>
  );
}
