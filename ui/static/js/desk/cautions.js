// @ts-check
// What the tool says wherever pressure is coded.

export const CAUTIONS = [
  "Law where you are first, then the device's manual. If either says no, it is no.",
  "Collar time is limited, and the skin under it is checked.",
  "Levels record one dog, one collar, one day. They are not settings to copy.",
  "Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
];
