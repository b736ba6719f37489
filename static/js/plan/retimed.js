// A step of the plan as it now stands, told by its id. Twin of webapp/core/plan/retimed.py.

export const stepNow = (retimed, { step_id }) => retimed.steps.find((one) => one.step_id === step_id);
export const timedSteps = (plan, retimed) => plan.steps.map((step) => [step, stepNow(retimed, step)]);
