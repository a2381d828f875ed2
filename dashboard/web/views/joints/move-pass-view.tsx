import { useEffect, useState } from 'preact/hooks';
import type { NewEntry } from '#core/journal/entry';
import type { PassWork } from '#core/messages/api-journal';
import type { PassJournal } from '#core/messages/api-pass-journal';
import { useApp } from '../../app-context.ts';
import { HoldMark } from '../../parts/hold-mark.tsx';
import { Pick } from '../../parts/pick.tsx';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { procedureKey } from '../assign/assign-form.ts';
import { TypedField } from '../verify/fields.tsx';
import { useDraft } from '../verify/use-draft.ts';
import { usePeople } from '../verify/use-people.ts';
import { PassPick, SidePick } from './forms/pass-pick.tsx';
import { jointRouteUrl, jointUrl } from './joint-routes.ts';
import { placeWords } from './pass-layers.tsx';
import { recordedPlace } from './pass-work.ts';
import { SignBlock } from './sign-block.tsx';
import { useSignedSave } from './use-signed-save.ts';

interface MovePassViewProps {
  readonly passId: string;
  /** The joint it is asked for from; empty where none. */
  readonly joint: string;
}

/** A recorded pass is given another joint, side or pass, with a reason. Its sealed record is not touched. */
export function MovePassView({ passId, joint }: MovePassViewProps) {
  const { api } = useApp();
  const t = text.value.jointEntries;
  const [found, setFound] = useState<PassJournal | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  useEffect(() => {
    api.get<PassJournal>(['passes', passId, 'journal']).then(
      journal => {
        setFailure(null);
        setFound(journal);
      },
      (error: unknown) =>
        setFailure(error instanceof Error && error.message !== '' ? error.message : t.noServer),
    );
  }, [api, passId, t]);
  const back = joint === '' ? jointRouteUrl({ view: 'joints', find: '' }) : jointUrl(joint);
  return (
    <section class="sheet form-sheet joint-sheet">
      <p>
        <a class="button" href={back}>
          {joint === '' ? text.value.joints.allJoints : text.value.joints.goTo(joint)}
        </a>
      </p>
      <h1>{t.moveTitle}</h1>
      <p class="note">{t.moveNote}</p>
      {failure !== null && <p class="message out">{failure}</p>}
      {found === null && failure === null && <p>{text.value.joints.loading}</p>}
      {found !== null && <MoveSheet found={found} joint={joint} cancelUrl={back} />}
    </section>
  );
}

interface MoveSheetProps {
  readonly found: PassJournal;
  readonly joint: string;
  readonly cancelUrl: string;
}

/** What it is judged under now, as far as anything says it. */
function standsUnder({ judgements, pass }: PassJournal): string {
  const now = judgements.findLast(({ procedureId }) => procedureId !== null) ?? pass;
  const { procedureId, procedureRevision } = now;
  if (procedureId === null || procedureRevision === null) return '';
  return procedureKey({ id: procedureId, revision: procedureRevision });
}

function MoveSheet({ found, joint, cancelUrl }: MoveSheetProps) {
  const { procedures, go } = useApp();
  const t = text.value.jointEntries;
  const people = usePeople();
  const { pass: message, work: stands } = found;
  const moved = found.moves.length > 0;
  const recorded: PassWork = found.moves[0]?.from ?? recordedPlace(message);
  const under = standsUnder(found);
  const key = `girthlog.move.${message.passId}/${joint}`;
  const [draft, change, clear] = useDraft(key, () => ({
    joint: joint === '' ? (stands.joint ?? '') : joint,
    side: stands.side ?? '',
    pass: stands.pass ?? '',
    procedure: under,
  }));
  const signed = useSignedSave(key, people, true);
  useEffect(() => void procedures.refresh(), [procedures]);
  const all = procedures.all.value;
  const procedure = all.find(one => procedureKey(one.procedure) === draft.procedure)?.procedure ?? null;
  const to = draft.joint.trim();
  const same =
    stands.joint === to &&
    stands.side === draft.side &&
    stands.pass === draft.pass &&
    under === draft.procedure;
  const { missing } = t;
  const problems: Partial<Record<'joint' | 'side' | 'procedure' | 'pass', string>> = {
    ...(to === '' || to.length > 80 ? { joint: missing.joint } : same ? { joint: missing.samePlace } : {}),
    ...(draft.side === '' ? { side: missing.side } : {}),
    ...(procedure === null ? { procedure: missing.procedure } : {}),
    ...(procedure === null || !procedure.passes.some(({ name }) => name === draft.pass)
      ? { pass: missing.pass }
      : {}),
  };
  const shown = signed.tried ? problems : {};

  async function save(): Promise<void> {
    const saved = await signed.save(
      procedure === null || Object.keys(problems).length > 0
        ? null
        : (by): NewEntry => ({
            ...by,
            corrects: null,
            body: {
              kind: 'passMoved',
              passId: message.passId,
              joint: to,
              side: draft.side === 'B' ? 'B' : 'A',
              pass: draft.pass,
              procedureId: procedure.id,
              procedureRevision: procedure.revision,
            },
          }),
    );
    if (saved === null) return;
    clear();
    go({ view: 'joint', joint: to });
  }

  return (
    <form
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      <p class="summary">
        {text.value.joints.unassigned(
          message.rig,
          whenText(message.startUtc),
          whenText(message.endUtc),
          format().measure('length', message.pass.runOutLengthMm),
        )}
        . {t.recordedAs}: <bdi>{placeWords(recorded)}</bdi>.
        {moved && (
          <>
            {' '}
            <bdi>{t.words.moved(placeWords(stands))}</bdi>.
          </>
        )}
      </p>
      <h2>{t.moveTo}</h2>
      <TypedField
        id="joint"
        label={t.joint}
        value={draft.joint}
        kind="text"
        max={80}
        error={shown.joint ?? null}
        type={value => change({ joint: value })}
      >
        <HoldMark joint={to} />
      </TypedField>
      <SidePick both={false} value={draft.side} error={shown.side ?? null} pick={side => change({ side })} />
      <Pick
        name="procedure"
        legend={t.procedure}
        empty={text.value.work.noProcedures}
        options={all.map(({ procedure: p }) => ({
          value: procedureKey(p),
          label: `${text.value.work.procedureOption(p.id, String(p.revision), p.title)}${p.exampleOnly === true ? ` · ${text.value.exampleOnly}` : ''}`,
        }))}
        value={draft.procedure}
        error={shown.procedure ?? null}
        pick={value => change({ procedure: value })}
      />
      {procedure !== null && (
        <PassPick
          legend={t.pass}
          names={procedure.passes.map(({ name }) => name)}
          value={draft.pass}
          error={shown.pass ?? null}
          pick={pass => change({ pass })}
        />
      )}
      <SignBlock
        sign={signed.sign}
        change={signed.changeSign}
        people={people}
        reason={t.reason}
        problems={signed.problems}
        failure={signed.failure}
        busy={signed.busy}
        submit={t.save}
        cancelUrl={cancelUrl}
      />
    </form>
  );
}
