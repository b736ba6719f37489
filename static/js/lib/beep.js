// A beep made by the phone itself: no sound file. Browsers are silent until the first tap on the page, and phones put the
// sound to sleep when a call comes or the screen is locked: each later tap wakes it again.

let sound = null;
let told = () => {};
let last = ""; // as told

// none: this browser has no sound; locked: nobody has tapped yet; on; off: asleep until the next tap.
export function soundState() {
  if (!(self.AudioContext ?? self.webkitAudioContext)) {
    return "none";
  }
  return sound === null ? "locked" : sound.state === "running" ? "on" : "off";
}

// Called with the new one whenever that changes.
export function onSound(tell) {
  told = tell;
}

function changed() {
  if (soundState() !== last) {
    last = soundState();
    told(last);
  }
}

// To be called by a tap. Never waited for: what a browser does not let out yet it answers for later, or never.
export function wakeSound() {
  const Sound = self.AudioContext ?? self.webkitAudioContext;
  if (!Sound || sound?.state === "running") {
    return;
  }
  if (sound === null || sound.state === "closed") {
    sound = new Sound();
    sound.onstatechange = changed;
  }
  sound.resume().then(changed, () => {});
}

export async function unlockSound() {
  wakeSound();
  await sound?.resume().catch(() => {});
}

// Three rising tones, a second in all; false when nobody can have heard them.
export function beep() {
  if (soundState() !== "on") {
    return false;
  }
  [660, 880, 1100].forEach((pitch, i) => tone(pitch, sound.currentTime + i * 0.33));
  return true;
}

function tone(pitch, at) {
  const source = sound.createOscillator();
  const volume = sound.createGain();
  source.frequency.value = pitch;
  volume.gain.setValueAtTime(0.0001, at);
  volume.gain.exponentialRampToValueAtTime(0.5, at + 0.03);
  volume.gain.exponentialRampToValueAtTime(0.0001, at + 0.3);
  source.connect(volume).connect(sound.destination);
  source.start(at);
  source.stop(at + 0.32);
}
