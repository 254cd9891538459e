"""What each command is for, in one line of its help."""

from __future__ import annotations

COMMAND_BENCH = "Measure how well callout judges and hears."

COMMAND_CHECK = "Find what would make a list fail in use."

COMMAND_CLUSTER = "Let several machines load and count journals."

COMMAND_CLUSTER_KEYS = "Make the certificate and key of a cluster."

COMMAND_CLUSTER_SCHEDULER = "Run the scheduler until Ctrl-C."

COMMAND_CLUSTER_WORKER = "Run a worker until Ctrl-C."

COMMAND_COLLECT = "Load journals into one database for reports and SQL."

COMMAND_COMPLETION = "Let the tab key complete commands."

COMMAND_DEBRIEF = "Debrief a session: what happened, what to do next."

COMMAND_DEMO = "Show a whole session on recorded replies."

COMMAND_DEVICES = "List microphones and speakers."

COMMAND_DOCTOR = "Check this machine: what is missing, and how to fix it."

COMMAND_DRILL = "Practise what you get wrong, ten minutes a day."

COMMAND_EXPORT = "Export lists as Markdown, CSV or printable cards."

COMMAND_FLY = "Run the lists of a whole flight as you call for them."

COMMAND_FORGET = "Delete the sessions of a person or period, and check that nothing is left."

COMMAND_HEAR = "Show how a session would judge a recording."

COMMAND_INSTRUCTOR = "See a class, compare trainees, export, sign off."

COMMAND_COMPARE = "Compare several trainees side by side."

COMMAND_ANONYMISE = "Copy journals without names and remarks."

COMMAND_SIGN_OFF = "Sign off finished sessions."

COMMAND_VERIFY = "Check that nothing has changed since it was signed."

COMMAND_SIGN_OFFS = "List the sign-offs."

COMMAND_CLASS = "Look at a class: people, items, lists, actions."

COMMAND_NOTE = "Note something about a trainee."

COMMAND_AGREE = "Agree an action with a trainee."

COMMAND_SETTLE = "Settle an agreed action."

COMMAND_STANDARD = "Choose the standard that a class has to reach."

COMMAND_JOURNAL = "List your sessions, or summarise one."

COMMAND_JUDGE = "Judge a typed reply: match, mismatch or unclear."

COMMAND_LIST = "List the checklists in a folder."

COMMAND_MIC = "Test the microphone and the room; enrol a voice."

COMMAND_NEW = "Make a list from paper, a text, or questions."

COMMAND_PACK = "Share lists with others, and add theirs to yours."

COMMAND_PACK_ADD = "Check a pack and add its lists to yours."

COMMAND_PACK_COMPARE = "Show how two packs or folders of lists differ."

COMMAND_PACK_MAKE = "Pack a folder of lists into one file."

COMMAND_PACK_SHOW = "Look into a pack: who made it, and its lists."

COMMAND_PAGE = "Do everything in your browser."

COMMAND_QUERY = "Query a collection of journals with SQL."

COMMAND_REPLAY = "Replay a session from its journal."

COMMAND_RESUME = "Continue an interrupted session."

COMMAND_RUN = "Run a list: hear each challenge and reply to it."

COMMAND_SETTINGS = "Show or change your settings."

COMMAND_SHORTCUT = "Put a shortcut on the desktop."

COMMAND_SHOW = "Print a list with its values filled in."

COMMAND_STATE = "Read, record or simulate the state of an aircraft."

COMMAND_STATE_AIRCRAFT = "Run a small simulated aircraft that reports its state."

COMMAND_STATE_READ = "Read a recorded stream, and show how the controls stand at its end."

COMMAND_STATE_RECORD = "Record what a bridge sends, until you press Ctrl-C."

COMMAND_STATE_SCHEMA = "Print the JSON Schema of one line."

COMMAND_TRENDS = "Look at many sessions together: what stands out and what changes."

COMMAND_WORDINGS = "Accept your own wording of a reply, or revoke it."

COMMAND_WORDINGS_REVIEW = "Go through the replies of a session that were not accepted."

COMMAND_WORDINGS_ACCEPT = "Accept one wording by hand."

COMMAND_WORDINGS_SHOW = "Show what is accepted."

COMMAND_WORDINGS_REVOKE = "Stop accepting a wording."
