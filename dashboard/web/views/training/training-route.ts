/** Training: what it is about, the trainer's desk, sessions kept, the debrief of one. */
export type TrainingRoute =
  | { readonly view: 'training' }
  | { readonly view: 'trainingTrainer' }
  | { readonly view: 'trainingSessions' }
  | { readonly view: 'trainingDebrief'; readonly id: string };

/** `training`, `training/trainer`, `training/sessions`, `training/debrief/{id}`, already decoded; else null. */
export function parseTrainingRoute(parts: readonly (string | undefined)[]): TrainingRoute | null {
  const [top, page, id] = parts;
  if (top !== 'training') return null;
  if (page === 'trainer') return { view: 'trainingTrainer' };
  if (page === 'sessions') return { view: 'trainingSessions' };
  if (page === 'debrief' && id !== undefined && id !== '') return { view: 'trainingDebrief', id };
  return { view: 'training' };
}

export function trainingUrl(route: TrainingRoute): string {
  if (route.view === 'training') return '#/training';
  if (route.view === 'trainingTrainer') return '#/training/trainer';
  if (route.view === 'trainingSessions') return '#/training/sessions';
  return `#/training/debrief/${encodeURIComponent(route.id)}`;
}

export const isTrainingRoute = (route: { readonly view: string }): route is TrainingRoute =>
  route.view.startsWith('training');
