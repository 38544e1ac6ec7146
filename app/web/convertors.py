"""Parts of addresses that may only be certain words."""

from starlette.convertors import StringConvertor, register_url_convertor


class GaugingRound(StringConvertor):
    """The two rounds of gauging: as found (gauge) and as fitted (fit)."""

    regex = "gauge|fit"


class StepList(StringConvertor):
    """The lists of steps: make safe, box up, prove."""

    regex = "safe|box-up|prove"


class ExportForm(StringConvertor):
    """The forms of an export, by the ending of its file."""

    regex = "csv|xlsx|json|zip"


class TemplateForm(StringConvertor):
    """The forms of a template, by the ending of its file."""

    regex = "csv|xlsx"


register_url_convertor("template_form", TemplateForm())
register_url_convertor("export_form", ExportForm())
register_url_convertor("gauging_round", GaugingRound())
register_url_convertor("step_list", StepList())
