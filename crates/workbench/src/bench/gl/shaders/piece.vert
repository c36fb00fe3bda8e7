// A mesh. `position` is relative to the mesh's own middle, `from_eye` brings the middle to where the eye sees it: both
// stay small, so that single precision does for models far from the origin.
in vec3 position;
uniform vec3 from_eye;
uniform mat4 clip_from_eye;
out vec3 own;
out vec3 seen;

void main() {
    own = position;
    seen = position + from_eye;
    gl_Position = clip_from_eye * vec4(seen, 1.0);
}
