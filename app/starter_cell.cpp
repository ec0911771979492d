// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/starter_cell.hpp"

namespace cellproof {

const std::string_view starter_cell =
    R"TOML(# A robot cell for cellproof, complete as it stands: an arm takes a block from a tray, reads a mark on it with its
# camera and sets it into a vise. Put your own arm, bodies and steps in the place of these, one after the other, and run
#
#   cellproof check FILE
#
# after each change. Everything here is invented. docs/cell-file.md has every key.

format = 1
name = "starter cell"
units = { length = "mm", angle = "deg", mass = "kg" }   # of bare numbers; "12.7 mm" or "0.5 in" carry their own

# --- The arm ----------------------------------------------------------------------------------------------------------
# Denavit-Hartenberg, standard convention: Rz(joint + theta) Tz(d) Tx(a) Rx(alpha). From the maker's sheet: lengths and
# twists, limits of each joint, its speed and acceleration.

[arm]
on = "pedestal"                       # what it stands on, or "world"
base = { xyz = [0, 0, 10] }           # where its base is in that frame; turn = [roll, pitch, yaw] would turn it
joints = [
  { a = 0,   alpha = 90,  d = 330, min = -170, max = 170, speed = 200, acceleration = 700 },
  { a = 320, alpha = 0,   d = 0,   min = -45,  max = 150, speed = 180, acceleration = 600 },
  { a = 60,  alpha = 90,  d = 0,   min = -120, max = 150, speed = 220, acceleration = 700 },
  { a = 0,   alpha = -90, d = 350, min = -185, max = 185, speed = 300, acceleration = 1200 },
  { a = 0,   alpha = 90,  d = 0,   min = -120, max = 120, speed = 300, acceleration = 1200 },
  { a = 0,   alpha = 0,   d = 80,  min = -350, max = 350, speed = 400, acceleration = 1500 },
]

# --- Bodies -----------------------------------------------------------------------------------------------------------
# Whatever has a shape. A model from CAD: mesh = "gripper.stl" with mesh_unit = "mm" in place of box or cylinder.
# Boxes, cylinders and spheres are centred on their frame. `on` says what carries a body, `at` where it is there.

[[body]]
name = "pedestal"
at = { xyz = [0, 0, -10] }            # 20 high and centred on its frame, so that its top is at z = 0
cylinder = { radius = 90, height = 20 }

[[body]]
name = "upper arm"                    # the arm's own links: rough shapes are a start
on = "link2"
at = { xyz = [-160, 0, 0], turn = [0, 90, 0] }
cylinder = { radius = 45, height = 300 }

[[body]]
name = "forearm"
on = "link4"
at = { xyz = [0, 140, 0], turn = [90, 0, 0] }
cylinder = { radius = 35, height = 200 }

[[body]]
name = "tray"
at = { xyz = [420, -160, 95] }
box = [200, 200, 10]

[[body]]
name = "vise"
at = { xyz = [420, 200, 120] }
box = [120, 80, 60]

[[body]]
name = "fence"                        # stands between tray and vise
at = { xyz = [420, 30, 160] }
box = [300, 10, 120]

# --- What the flange carries ------------------------------------------------------------------------------------------

[[body]]
name = "cup holder"
on = "flange"
at = { xyz = [0, 0, 40] }
cylinder = { radius = 20, height = 78 }

[[body]]
name = "camera body"
on = "flange"
at = { xyz = [65, 0, 25] }
box = [40, 40, 50]

[[suction]]                           # the sealed area; +z into the part
name = "cup"
on = "flange"
at = { xyz = [0, 0, 80] }
circle = 18
vacuum = "60 kPa"                     # below ambient
friction = 0.4

[[tcp]]                               # tool centre point: +z from the tool into the part
name = "cup face"
on = "flange"
at = { xyz = [0, 0, 80] }
suction = ["cup"]

[[camera]]                            # z forward, x right, y down
name = "wrist camera"
on = "flange"
at = { xyz = [65, 0, 50] }
resolution = [1280, 960]
view_angle = 60
range = [50, 500]
housing = ["camera body"]             # never in its own way

# --- Seats, and the part that moves between them ----------------------------------------------------------------------
# A seat is where a part can rest; +z points away from the surface.

[[seat]]
name = "tray seat"
on = "tray"
at = { xyz = [0, 0, 5] }

[[seat]]
name = "vise seat"
on = "vise"
at = { xyz = [0, 0, 30] }

[[part]]
name = "block"
box = [80, 50, 30]
density = "2700 kg/m^3"               # or mass
seat = "tray seat"                    # where it lies when the cycle starts
at = { xyz = [0, 0, 15] }             # a box is centred on its frame: half its height up
grasps = [ { name = "top", at = { xyz = [-15, 0, 15], turn = [180, 0, 0] }, turns = [0, 180] } ]

[[target]]                            # what the camera has to see: a rectangle facing +z
name = "mark"
on = "block"
at = { xyz = [25, 0, 15] }
size = [20, 20]

# --- The cycle --------------------------------------------------------------------------------------------------------

[cycle]
start = [0, 90, 0, 0, -60, 0]
joint_speed = 0.5                     # shares of each joint's limits
joint_acceleration = 0.5
tool_speed = "250 mm/s"               # along lines
tool_acceleration = "1000 mm/s^2"

[[step]]
name = "look at the mark"
look = "wrist camera"
to = { tcp = "cup face", frame = "block", at = { xyz = [-15, 0, 165], turn = [180, 0, 0] } }
targets = ["mark"]

[[step]]
name = "pick the block"               # a joint move over it, a line down, the grip, a line up
pick = "block"
tcp = "cup face"
grasp = "top"
approach = 80
retreat = 160

[[step]]
name = "place the block"
place = "block"
seat = "vise seat"
at = { xyz = [0, 0, 15] }
approach = 120
retreat = 120

[[step]]
name = "home"
move = "joint"
to = { joints = [0, 90, 0, 0, -60, 0] }

[[step]]                              # the next round begins with another block in the tray
remove = "block"

[[step]]
bring = "block"
seat = "tray seat"
at = { xyz = [0, 0, 15] }

# --- What must hold ---------------------------------------------------------------------------------------------------

[rules]
clearance = 5                         # nothing comes closer than this, unless it is meant to
limit_margin = 2                      # degrees, kept from each joint limit
visible = 0.98                        # share of each target that the camera must see

[[clearance]]                         # a pair of its own
between = ["block", "fence"]
least = 10
)TOML";

}  // namespace cellproof
