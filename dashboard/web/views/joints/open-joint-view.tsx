import { useEffect, useState } from 'preact/hooks';
import type { NewEntry } from '#core/journal/entry';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { useDraft } from '../verify/use-draft.ts';
import { usePeople } from '../verify/use-people.ts';
import {
  EMPTY_PARTICULARS,
  ParticularsFields,
  particularsOf,
  particularsProblems,
} from './forms/particulars-form.tsx';
import { jointRouteUrl, jointUrl } from './joint-routes.ts';
import { SignBlock } from './sign-block.tsx';
import { useFormContext } from './use-form-context.ts';
import { type JointRead, readJoint } from './use-joint.ts';
import { useSignedSave } from './use-signed-save.ts';

/** What is typed is looked up when typing rests, ms. */
const REST_MS = 300;
const NO_START = {};

/** What the server knows of a number while it is being typed; null while it is not known. */
function useKnown(joint: string): JointRead | null {
  const { api } = useApp();
  const [known, setKnown] = useState<{ readonly joint: string; readonly read: JointRead } | null>(null);
  useEffect(() => {
    if (joint === '') return;
    let left = false;
    const timer = setTimeout(() => {
      readJoint(api, joint).then(
        read => {
          if (!left) setKnown({ joint, read });
        },
        () => undefined,
      );
    }, REST_MS);
    return () => {
      left = true;
      clearTimeout(timer);
    };
  }, [api, joint]);
  return known?.joint === joint ? known.read : null;
}

/** A joint comes into being: its number, which is used once, and what is known of it. */
export function OpenJointView({ joint: asked }: { readonly joint: string }) {
  const { go } = useApp();
  const t = text.value;
  const j = t.joints;
  const e = t.jointEntries;
  const people = usePeople();
  const key = `girthlog.open-joint/${asked}`;
  const [draft, change, clear] = useDraft(key, () => ({ ...EMPTY_PARTICULARS, joint: asked }));
  const signed = useSignedSave(key, people, false);
  const joint = draft.joint.trim();
  const known = useKnown(joint);
  const context = useFormContext({ joint, state: null, people, start: NO_START });
  const taken = known?.state?.opened === true;
  const opening = known?.state?.entries.find(({ body }) => body.kind === 'jointOpened');
  const problems: Readonly<Record<string, string>> = {
    ...(joint === '' || joint.length > 80
      ? { joint: e.missing.joint }
      : taken
        ? { joint: e.missing.jointTaken(joint) }
        : {}),
    ...particularsProblems(draft),
  };
  const shown = signed.tried ? problems : {};

  async function save(): Promise<void> {
    const saved = await signed.save(
      Object.keys(problems).length > 0
        ? null
        : (by): NewEntry => ({
            ...by,
            corrects: null,
            body: { kind: 'jointOpened', joint, ...particularsOf(draft, context.procedures) },
          }),
    );
    if (saved === null) return;
    clear();
    go({ view: 'joint', joint });
  }

  return (
    <section class="sheet form-sheet joint-sheet">
      <p>
        <a class="button" href={jointRouteUrl({ view: 'joints', find: '' })}>
          {j.allJoints}
        </a>
      </p>
      <h1>{j.openTitle}</h1>
      <form
        noValidate
        onSubmit={event => {
          event.preventDefault();
          void save();
        }}
      >
        <TypedField
          id="joint"
          label={e.joint}
          hint={e.jointHint}
          value={draft.joint}
          kind="text"
          max={80}
          error={shown['joint'] ?? null}
          type={value => change({ joint: value })}
        />
        <div role="status">
          {taken && (
            <div class="message out">
              <p>
                <strong>{j.takenTitle}</strong>
              </p>
              <p>
                <bdi>
                  {j.takenOpened(
                    joint,
                    opening === undefined ? '' : whenText(opening.at),
                    opening === undefined ? '' : people.nameOf(opening.author),
                  )}
                </bdi>
              </p>
            </div>
          )}
          {!taken && known !== null && known.passes.length > 0 && (
            <p class="message nodata">
              <bdi>{j.takenPasses(joint, known.passes.length)}</bdi>
            </p>
          )}
        </div>
        {(taken || (known !== null && known.passes.length > 0)) && (
          <p>
            <a class="button" href={jointUrl(joint)}>
              {j.goTo(joint)}
            </a>
          </p>
        )}
        <ParticularsFields draft={draft} change={change} problems={shown} context={context} />
        <SignBlock
          sign={signed.sign}
          change={signed.changeSign}
          people={people}
          reason={null}
          problems={signed.problems}
          failure={signed.failure}
          busy={signed.busy}
          submit={j.openTitle}
          cancelUrl={jointRouteUrl({ view: 'joints', find: '' })}
        />
      </form>
    </section>
  );
}
