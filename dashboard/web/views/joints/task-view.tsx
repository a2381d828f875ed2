import type { Entry, NewEntry } from '#core/journal/entry';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { useDraft } from '../verify/use-draft.ts';
import { type People, usePeople } from '../verify/use-people.ts';
import { entryWords } from './entry-words.ts';
import type { FormContext } from './forms/joint-form.ts';
import { JOINT_FORMS, TASK_OF_KIND } from './forms/joint-forms.ts';
import { type JointTask, jointUrl, type TaskStart } from './joint-routes.ts';
import { SignBlock } from './sign-block.tsx';
import { useFormContext } from './use-form-context.ts';
import { type JointRead, useJoint } from './use-joint.ts';
import { type Signature, useSignedSave } from './use-signed-save.ts';

interface TaskViewProps {
  readonly joint: string;
  readonly task: JointTask;
  readonly start: TaskStart;
}

/** One thing entered about a joint, or put right, on a page of its own. */
export function TaskView({ joint, task, start }: TaskViewProps) {
  const t = text.value.jointEntries;
  const read = useJoint(joint);
  const people = usePeople();
  const context = useFormContext({ joint, state: read.state, people, start });
  const entries = [...(read.state?.entries ?? []), ...context.qualifications];
  const corrected = start.corrects === undefined ? null : correctable(entries, start.corrects, task);
  const name = t.tasks[task];
  return (
    <section class="sheet form-sheet joint-sheet">
      <p>
        <a class="button" href={jointUrl(joint)}>
          {text.value.joints.goTo(joint)}
        </a>
      </p>
      <h1>{start.corrects === undefined ? t.title(name, joint) : t.titleCorrect(name, joint)}</h1>
      {!settled(read) ? (
        <p>{text.value.joints.loading}</p>
      ) : start.corrects !== undefined && corrected === null ? (
        <p>{t.notCorrectable}</p>
      ) : (
        <TaskSheet
          key={`${joint}/${task}/${start.corrects ?? ''}`}
          task={task}
          context={context}
          people={people}
          corrected={corrected}
        />
      )}
    </section>
  );
}

/** A form begins with what is known, so it waits for the answer; without a server it begins empty. */
const settled = (read: JointRead): boolean => read.loaded || read.failure !== null;

function correctable(entries: readonly Entry[], id: string, task: JointTask): Entry | null {
  const entry = entries.find(one => one.id === id);
  if (entry === undefined || TASK_OF_KIND[entry.body.kind] !== task) return null;
  return entries.some(one => one.corrects === id) ? null : entry;
}

interface TaskSheetProps {
  readonly task: JointTask;
  readonly context: FormContext;
  readonly people: People;
  readonly corrected: Entry | null;
}

function TaskSheet({ task, context, people, corrected }: TaskSheetProps) {
  const { go } = useApp();
  const t = text.value.jointEntries;
  const form = JOINT_FORMS[task];
  const { pass = '', side = '', person = '' } = context.start;
  const key = `girthlog.joint.${context.joint}/${task}/${corrected?.id ?? ''}/${pass}/${side}/${person}`;
  const [draft, change, clear] = useDraft<Record<string, string>>(key, () =>
    corrected === null ? form.begin(context) : form.from(corrected, context),
  );
  const needsReason = form.needsReason || corrected !== null;
  const signed = useSignedSave(key, people, needsReason);
  const problems = form.problems(draft, context);

  async function save(): Promise<void> {
    const entry = (by: Signature): NewEntry => {
      const body = form.body(draft, context);
      // A correction is of the kind it corrects: the opening of a joint stays its opening.
      const opening = corrected?.body.kind === 'jointOpened' && body.kind === 'jointChanged';
      return {
        ...by,
        corrects: corrected?.id ?? null,
        body: opening ? { ...body, kind: 'jointOpened' } : body,
      };
    };
    const saved = await signed.save(Object.keys(problems).length > 0 ? null : entry);
    if (saved === null) return;
    clear();
    go({ view: 'joint', joint: context.joint });
  }

  return (
    <form
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      {corrected !== null && (
        <p class="summary">
          {t.correcting} {t.original}: <bdi>{entryWords(corrected, context.nameOf)}</bdi>
        </p>
      )}
      <form.Fields draft={draft} change={change} problems={signed.tried ? problems : {}} context={context} />
      <SignBlock
        sign={signed.sign}
        change={signed.changeSign}
        people={people}
        reason={corrected !== null ? t.whyCorrect : form.needsReason ? t.reason : null}
        problems={signed.problems}
        failure={signed.failure}
        busy={signed.busy}
        submit={t.save}
        cancelUrl={jointUrl(context.joint)}
      />
    </form>
  );
}
