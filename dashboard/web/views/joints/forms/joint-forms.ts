import type { EntryKind } from '#core/journal/entry';
import type { JointTask } from '../joint-routes.ts';
import { crewForm, qualificationForm } from './crew-form.tsx';
import { elsewhereForm } from './elsewhere-form.tsx';
import type { JointForm } from './joint-form.ts';
import { particularsForm } from './particulars-form.tsx';
import { holdForm, lotsForm, polarityForm, releaseForm } from './small-forms.tsx';
import { temperatureForm } from './temperature-form.tsx';

/** Every form of one joint. Moving a pass is about two places and has a view of its own. */
export const JOINT_FORMS: Readonly<Record<JointTask, JointForm<string>>> = {
  particulars: particularsForm,
  lots: lotsForm,
  polarity: polarityForm,
  crew: crewForm,
  qualification: qualificationForm,
  temperature: temperatureForm,
  release: releaseForm,
  hold: holdForm,
  elsewhere: elsewhereForm,
};

/** Which form corrects which kind of entry. */
export const TASK_OF_KIND: Partial<Record<EntryKind, JointTask>> = {
  jointOpened: 'particulars',
  jointChanged: 'particulars',
  consumables: 'lots',
  polarityConfirmed: 'polarity',
  crew: 'crew',
  qualification: 'qualification',
  temperatureReading: 'temperature',
  layerRelease: 'release',
  hold: 'hold',
  loggedElsewhere: 'elsewhere',
};
