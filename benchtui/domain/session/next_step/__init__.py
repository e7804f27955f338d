"""What do I do now? One question, one function; whoever shows the answer decides nothing."""

from benchtui.domain.session.next_step.answer import next_step as next_step
from benchtui.domain.session.next_step.answer import other_way as other_way
from benchtui.domain.session.next_step.answer import setting_step as setting_step
